// Machines, backings and pens of a person's own: written, explained, checked and
// kept on this computer.
import { choice, clearTrouble, el, newID, setText, trouble } from './dom.js';
import { get, post } from './wire.js';
import { t } from './text.js';

const kinds = ['machine', 'backing', 'pen'];

// editor makes the editor. chosen tells which profile of a kind the job has.
export function editor(bench, chosen) {
  const id = newID('profile');
  const text = el('textarea', { id, spellcheck: 'false', autocomplete: 'off' }), label = el('label', { for: id }), said = el('p', { 'aria-live': 'polite' });
  const button = (name, act) => el('button', { type: 'button', text: name, onclick: act });
  const begin = button('', async () => {
    clearTrouble(box);
    try { text.value = (await get('/profile?' + new URLSearchParams({ kind: kind(), name: chosen(kind()) || '' }))).text; } catch (e) { trouble(box, e.words); }
  });
  const which = choice(t.editorKind, t.editorKindHint, show);
  const values = el('dl', { class: 'dl' });
  const box = el('div', {}, which.box, el('div', { class: 'row' }, begin), label, text,
    el('div', { class: 'row' }, button(t.editorCheck, () => check(false)), button(t.editorKeep, () => check(true))), said,
    el('h3', { text: t.explained }), values);
  which.show(kinds.map((k) => t.kinds[k]), t.kinds.machine);
  const kind = () => kinds.find((k) => t.kinds[k] === which.select.value);
  show();

  function show() {
    clearTrouble(box);
    setText(said, '');
    text.value = ''; // a profile of another kind would be no sound one
    setText(begin, t.editorFrom(which.select.value));
    setText(label, t.editorText(which.select.value));
    values.replaceChildren(...t.values[kind()].flatMap(([k, v]) => [el('dt', { text: k }), el('dd', { text: v })]));
  }

  async function check(keep) {
    clearTrouble(box);
    setText(said, '');
    const of = kind();
    try {
      const { name } = await post('/profile', { kind: of, text: text.value, keep });
      setText(said, keep ? t.editorKept(name) : t.editorGood(name));
      if (!keep) return;
      await bench.offers();
      if (bench.job && chosen(of) === name) await bench.set({ [of]: name }, box); // the job goes by what it says now
    } catch (e) { trouble(box, e.words); }
  }

  return el('details', {}, el('summary', { text: t.editor }), box);
}
