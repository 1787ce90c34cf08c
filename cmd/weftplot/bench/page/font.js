// A font for the words that stand as text in the drawing, on its step.
import { clearTrouble, el, newID, setText, trouble } from './dom.js';
import { send } from './wire.js';
import { t } from './text.js';

export function font(bench) {
  const id = newID('font');
  const file = el('input', { type: 'file', id, accept: '.ttf,.otf', 'aria-describedby': id + '-hint', onchange: () => { const f = file.files[0]; if (f) take('?' + new URLSearchParams({ name: f.name }), f); } });
  const none = el('button', { type: 'button', text: t.noFont, onclick: () => take('?none', '') });
  const now = el('p', { 'aria-live': 'polite' });
  const box = el('div', { class: 'field', hidden: true }, el('label', { for: id, text: t.font }), file, el('p', { id: id + '-hint', class: 'hint', text: t.fontHint }), now, el('div', { class: 'row' }, none));
  async function take(query, data) {
    clearTrouble(box);
    try { await send('/font' + query, data); bench.now(); } catch (e) { if (!e.stale) trouble(box, e.words || { what: e.message }); }
    file.value = '';
  }
  return {
    box,
    show(j) {
      box.hidden = !j || !j.has_text;
      if (box.hidden) return;
      setText(now, j.has_font ? t.inFont : t.inAlphabet(j.settings.alphabet));
      none.disabled = !j.has_font || !bench.lead;
    },
  };
}
