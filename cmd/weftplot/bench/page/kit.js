// Copies of a rug on one cloth: how many or for whom, on the step of the rug; their list,
// which is always in view; and which of them are drawn now, on the step Drawing it.
import { el, field, newID, radios, sentence, setText, trouble, clearTrouble } from './dom.js';
import { t } from './text.js';

const number = (s) => /^\s*\d*\s*$/.test(s);
const size = (s) => /^\s*(\d+([.,]\d+)?\s*(in|ft|yd|mm|cm|m)(\s*x\s*\d+([.,]\d+)?\s*(in|ft|yd|mm|cm|m))?)?\s*$/i.test(s);
const length = (s) => /^\s*(\d+([.,]\d+)?\s*(in|mm|cm))?\s*$/i.test(s);

// names makes a labelled list that is typed, a name a line, or read from a file.
function names(act) {
  const id = newID('names'), fileID = newID('names-file');
  const text = el('textarea', { id, rows: '4', spellcheck: 'false', autocomplete: 'off', 'aria-describedby': id + '-hint', onchange: () => send() });
  const file = el('input', { id: fileID, type: 'file', accept: '.csv,.txt,text/*', onchange: read });
  const box = el('div', { class: 'field' }, el('label', { for: id, text: t.kitNames }), text, el('p', { id: id + '-hint', class: 'hint', text: t.kitNamesHint }),
    el('label', { for: fileID, text: t.kitNamesFile }), file);
  const most = 200 * 1024;
  let waiting = 0;
  async function send() {
    waiting++;
    try { await act(text.value.trim(), box); } finally { waiting--; }
  }
  async function read() {
    const f = file.files[0];
    file.value = '';
    if (!f) return;
    if (f.size > most) { trouble(box, { what: t.kitNamesLarge }); return; }
    text.value = await f.text();
    send();
  }
  return {
    box,
    show(value) {
      if (!waiting && document.activeElement !== text && !box.querySelector(':scope > [role=alert]')) text.value = value.trim();
    },
  };
}

export function kit(bench) {
  const set = (key) => (value, box) => bench.set({ [key]: value.trim() }, box);
  const copies = field(t.kitCopies, t.kitCopiesHint, number, set('copies'));
  const whom = names((v, box) => bench.set({ names: v }, box));
  const cloth = field(t.kitCloth, t.kitClothHint, size, set('cloth')), gap = field(t.kitGap, t.kitGapHint, length, set('gap'));
  const turn = radios(t.kitTurn, [['false', t.kitUpright, ''], ['true', t.kitMayTurn, t.kitMayTurnHint]], set('turn'));
  const taken = el('p', { 'aria-live': 'polite' }), notes = el('ul', { class: 'plain' });
  return {
    box: el('details', { class: 'more kit' }, el('summary', { text: t.kitTitle }), el('div', { class: 'fields' }, copies.box, whom.box, cloth.box, gap.box, turn.box), taken, notes),
    show(j) {
      if (!j) return;
      const v = j.settings, several = !!(v.copies || v.names);
      copies.show(v.copies); whom.show(v.names); cloth.show(v.cloth); gap.show(v.gap); turn.show(v.turn);
      cloth.box.hidden = gap.box.hidden = turn.box.hidden = !several;
      setText(taken, j.kit && !j.kit.panels ? t.kitTaken(j.kit) : '');
      const key = j.kit && !j.kit.panels ? j.kit.notes.join('\n') : '';
      if (notes.dataset.key !== key) { notes.dataset.key = key; notes.replaceChildren(...(key ? j.kit.notes : []).map((n) => el('li', { text: n }))); }
    },
  };
}

// copyList is the list of copies, or of the loads of one rug, in view on every step.
export function copyList() {
  const said = el('p'), body = el('tbody');
  const heads = el('tr'), table = el('table', {}, el('thead', {}, heads), body);
  const box = el('section', { class: 'copies', 'aria-label': t.kitList, hidden: true, tabindex: '0' }, said, table);
  let key = '';
  return {
    box,
    show(j, n) {
      const k = j && j.kit;
      box.hidden = !k;
      if (!k) return;
      const now = loadUnder(n), under = now ? n.status.copy : 0;
      const state = (c) => (c.n === under ? t.kitStates.now : t.kitStates[c.state]);
      setText(said, (k.panels ? t.panelsSays : t.kitSays)(k, now));
      box.setAttribute('aria-label', k.panels ? t.panelsList : t.kitList);
      const rows = k.panels ? loadRows(k, now) : k.copies.map((c) => [c.n, c.name, c.load + (c.turned ? `, ${t.kitTurned}` : ''), state(c)]), next = JSON.stringify(rows);
      if (next === key) return;
      key = next;
      heads.replaceChildren(...(k.panels ? t.panelsHeads : t.kitHeads).map((h) => el('th', { scope: 'col', text: h })));
      body.replaceChildren(...rows.map((r) => el('tr', {}, r.map((v, i) => el(i ? 'td' : 'th', i ? { text: v } : { scope: 'row', text: v })))));
      const row = under && body.children[k.copies.findIndex((c) => c.n === under)];
      if (row) box.scrollTop = row.offsetTop - box.clientHeight / 2; // the one being drawn is in view
    },
  };
}

// doneAndDue says in a line that stays in view what is drawn of a cloth in loads, and what
// comes next.
export function doneAndDue() {
  const box = el('section', { class: 'due', 'aria-label': t.due, hidden: true });
  return {
    box,
    show(j, n) {
      const k = j && j.kit;
      box.hidden = !k;
      document.documentElement.classList.toggle('in-loads', !!k);
      if (k) setText(box, t.doneAndDue(k, loadUnder(n), n.status.copy));
    },
  };
}

// loadRows are the loads of one rug, as rows of the list.
const loadRows = (k, now) => k.loads.map((l) => [l.n, t.panelsMarks(l), l.n === now ? t.kitStates.now : t.loadState(l, k), l.lay]);

// loadsOn are the loads as rectangles over the picture of the cloth.
export function loadsOn(j, now) {
  const k = j && j.kit;
  return k ? { iron: false, rects: k.loads.map((l) => ({ name: t.kitLoadOn(l, now), box: l.box })), joints: k.joints } : null;
}

// loadUnder is the load that is being drawn, 0 for none.
export const loadUnder = (n) => (n && n.status.moving && /draw|resume/.test(n.status.do) ? n.status.load : 0);

// loadChoice chooses the load that is found and drawn; both steps that have it show the same.
export function loadChoice(bench) {
  const id = newID('load');
  const select = el('select', { id, autocomplete: 'off', onchange: () => { bench.part.load = Number(select.value); bench.draw(); } });
  let key = '';
  return {
    box: el('div', { class: 'field' }, el('label', { for: id, text: t.kitLoad }), select),
    show(k, fixed) {
      const next = JSON.stringify([k.due, k.panels, k.loads.map((l) => [l.state, l.waits])]);
      if (next !== key) {
        key = next;
        if (bench.part.load > k.loads.length) bench.part.load = 0;
        select.replaceChildren(el('option', { value: '0', text: t.kitNext(k.due) }), ...k.loads.map((l) => el('option', { value: String(l.n), text: k.panels ? t.panelsLoad(l, k) : t.kitLoadIs(l) })));
      }
      select.value = String(bench.part.load);
      select.disabled = fixed;
    },
  };
}

// kitPart chooses which load, or which copies, are drawn, on the step Drawing it.
export function kitPart(bench) {
  const load = loadChoice(bench);
  const only = field(t.kitOnly, t.kitOnlyHint, (s) => /^\s*(\d+(-\d+)?(\s*,\s*\d+(-\d+)?)*)?\s*$/.test(s), (v) => { bench.part.copies = v.trim(); bench.draw(); });
  const lay = el('p', { 'aria-live': 'polite' });
  const box = el('div', { class: 'kitpart' }, el('div', { class: 'fields' }, load.box, only.box), lay);
  return {
    box,
    show(j, offered, n) {
      const k = j && j.kit;
      box.hidden = !k;
      if (!k) { bench.part = { load: 0, copies: '' }; only.input.value = ''; return; }
      load.show(k, n.status.moving || !bench.lead);
      only.box.hidden = k.panels;
      if (k.panels) { bench.part.copies = ''; only.input.value = ''; }
      only.input.disabled = n.status.moving || !bench.lead;
      const l = loadNow(k, bench.part);
      setText(lay, [l && l.lay ? t.kitLay(l) : '', ...(k.panels ? k.notes.map((n) => sentence({ what: n })) : [])].filter(Boolean).join(' '));
      clearTrouble(box);
    },
  };
}

// loadNow is the load that is chosen, or the next that is due; undefined for none.
export const loadNow = (k, part) => k.loads.find((l) => l.n === (part.load || k.due));
