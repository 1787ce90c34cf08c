// Step 6: the cloth on the frame: its count, and marks found on it.
import { clearTrouble, el, field, newID, sentence, setText, trouble } from './dom.js';
import { post, send } from './wire.js';
import { loadChoice, loadNow } from './kit.js';
import { points } from './points.js';
import { t } from './text.js';

export function marks(bench) {
  const count = field(t.count, t.countHint, (s) => /^\s*[\d.]+x[\d.]+\/\d*(in|cm|mm)\s*$/.test(s), (v, b) => bench.set({ count: v }, b));
  const where = el('p', { 'aria-live': 'polite' }), said = el('p'), list = el('ul', { class: 'plain' }), fit = el('p'), words = el('ul', { class: 'plain' });
  const better = el('p'), say = el('ul', { class: 'plain said', 'aria-live': 'polite' });
  const b = (name, act) => el('button', { type: 'button', text: name, onclick: act });
  const take = b(t.take, () => steer({ do: 'take', port: bench.port, load: bench.part.load })), leave = b(t.leave, async () => {
    clearTrouble(box);
    try { await post('/steer', { do: 'end' }); } catch (e) { if (!e.stale) trouble(box, e.words); }
    bench.now();
  });
  const stepID = newID('step');
  const step = el('select', { id: stepID, autocomplete: 'off' }, [['0.1', '0.1 mm'], ['1', '1 mm'], ['10', '10 mm'], ['channel', t.oneChannel]].map(([v, n]) => el('option', { value: v, text: n })));
  step.value = '1';
  const across = field(t.across, '', () => false, () => bench.draw()), along = field(t.along, '', () => false, () => bench.draw());
  const pads = {
    left: b(t.penLeft, () => jog(-1, 0)), right: b(t.penRight, () => jog(1, 0)), away: b(t.penAway, () => jog(0, 1)), near: b(t.penNear, () => jog(0, -1)),
  };
  const toNext = b(t.next, next), here = b(t.markHere, mark), sought = points(steer);
  const desk = el('div', { hidden: true },
    el('div', { class: 'desk' }, sought.box,
      el('div', { class: 'jog' }, el('span'), pads.away, el('span'), pads.left, el('span'), pads.right, el('span'), pads.near, el('span')),
      el('div', { class: 'way' }, el('div', { class: 'field' }, el('label', { for: stepID, text: t.stepOf }), step), toNext),
      el('div', { class: 'two' }, across.box, along.box, here)),
    where, said, sought.other, el('div', { class: 'row' }, leave));
  const fileID = newID('marks');
  const file = el('input', { type: 'file', id: fileID, accept: '.toml', 'aria-describedby': fileID + '-hint', onchange: async () => {
    clearTrouble(fileBox);
    if (!file.files[0]) return;
    try { await send(`/marks?load=${bench.part.load}`, file.files[0]); bench.now(); } catch (e) { if (!e.stale) trouble(fileBox, e.words); }
    file.value = '';
  } });
  const fileBox = el('div', { class: 'field' }, el('label', { for: fileID, text: t.marksFile }), file, el('p', { class: 'hint', id: fileID + '-hint', text: t.marksFileHint }));
  const none = b(t.noMarks, async () => {
    clearTrouble(box);
    try { await send(`/marks?none&load=${load ? load.n : 0}`, ''); bench.now(); } catch (e) { if (!e.stale) trouble(box, e.words); }
  });
  // What is decided before the pen is taken makes room while it is steered.
  const which = loadChoice(bench), lay = el('p', { 'aria-live': 'polite' });
  const before = el('div', {}, el('div', { class: 'fields' }, which.box, count.box, fileBox), lay, el('p', { class: 'hint', text: t.marksSay }), el('p', { class: 'hint', text: t.takeOver }));
  const box = el('div', {}, before, el('div', { class: 'row' }, take), desk, el('h3', { text: t.marks }), fit, say, better, list, words, el('div', { class: 'row' }, none));
  let busy = false, doubted = '', worded = '', load = null, sent = '';

  // One order at a time: a movement that is asked for while the pen moves is
  // dropped, so that nothing moves later than it was asked for; a mark waits until
  // the pen rests.
  let resting = Promise.resolve();
  async function steer(o) {
    const moves = !/mark|remove/.test(o.do);
    if (busy && moves) return;
    while (busy) await resting;
    busy = true;
    resting = order(o);
    await resting;
  }
  async function order(o) {
    clearTrouble(box);
    try { await post('/steer', { ...o, turn: bench.turn }); } catch (e) { if (!e.stale) trouble(box, e.words); }
    await bench.fresh();
    busy = false;
  }
  function jog(x, y) {
    const s = step.value;
    return steer(s === 'channel' ? { do: 'step', by: 'channels', x, y } : { do: 'step', by: 'mm', x: x * s, y: y * s });
  }
  function next() {
    const n = bench.steer && !bench.steer.search && bench.steer.next;
    if (n) { across.input.value = n[0]; along.input.value = n[1]; }
    return steer({ do: 'next' });
  }
  function mark() { return steer({ do: 'mark', across: Number(across.input.value), along: Number(along.input.value) }); }

  // The arrow keys jog while the pen is steered and this step is open.
  addEventListener('keydown', (e) => {
    if (!bench.steer || !bench.lead || bench.step !== 'marks' || /INPUT|SELECT|TEXTAREA/.test(e.target.tagName)) return;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
    if (way) { e.preventDefault(); jog(...way); }
  });

  // showPlace puts the place that the pen was sent to into the fields. Once it is marked they
  // are empty, so that nothing is marked twice where the pen still stands.
  function showPlace(search) {
    here.disabled = !!search && !(across.input.value.trim() && along.input.value.trim());
    setText(toNext, search ? t.nextPoint : t.next);
    toNext.disabled = !!search && search.points.length > 0 && search.points.every((p) => p.found);
    const key = search ? JSON.stringify(search.at) : '';
    if (key === sent) return;
    sent = key;
    if (!search) return;
    [across, along].forEach((f, i) => { f.input.value = search.at ? search.at[i] : ''; });
    here.disabled = !search.at;
  }

  return {
    box, step: 'marks',
    brief: (j) => (j ? t.marksBrief(j) : ''),
    show(j, offered, n) {
      if (!j) return;
      count.show(j.settings.count);
      const s = n.steer, r = j.kit ? null : j.report.registration, search = s && s.search;
      load = j.kit ? loadNow(j.kit, bench.part) : null;
      which.box.hidden = !j.kit; lay.hidden = !load;
      if (j.kit) which.show(j.kit, n.status.moving || !!s || !bench.lead);
      if (load) setText(lay, [load.lay ? t.kitLay(load) : '', load.waits ? t.thenPoints : ''].filter(Boolean).join(' '));
      sought.show(search);
      showPlace(search);
      take.disabled = !!s || !j.whole || !j.has_machine || !bench.lead || n.status.moving || !!j.kit && !load; leave.disabled = !s || !bench.lead;
      before.hidden = !!s;
      if (desk.hidden !== !s) {
        // The button that was pressed cannot be pressed again: the hands go on.
        const held = [take, leave].includes(document.activeElement) || desk.contains(document.activeElement);
        desk.hidden = !s;
        const narrow = matchMedia('(max-width: 760px)').matches;
        if (s) (narrow ? desk : box).scrollIntoView({ block: narrow ? 'start' : 'nearest' });
        take.hidden = !!s;
        if (held) (s ? pads.away : take).focus({ preventScroll: true });
      }
      setText(where, s ? t.penAt(s) : ''); setText(said, s ? s.said : '');
      setText(fit, j.kit ? (load && load.fit || t.loadNoMarks(load)) : r ? t.fit(r) : t.marksNone);
      setText(better, r && r.next_mark ? t.better(r.next_mark) : '');
      const doubts = j.report.marks_say || [];
      if (doubts.join('\n') !== doubted) {
        doubted = doubts.join('\n');
        say.replaceChildren(...doubts.map((w) => el('li', { text: sentence({ what: w }) })));
      }
      const told = r ? r.words.join('\n') : '';
      if (told !== worded) {
        worded = told;
        words.replaceChildren(...(r ? r.words.map((w) => el('li', { text: sentence({ what: w }) })) : []));
      }
      none.disabled = !(j.kit ? load && load.found : r) || !bench.lead || !!j.kit && !!s;
      const found = s ? s.marks : r ? r.marks.map((m, i) => ({ number: i + 1, place: [m.across, m.along], at: m.at_mm })) : [];
      const key = JSON.stringify([found, !!s, r && r.marks]);
      if (list.dataset.key === key) return;
      list.dataset.key = key;
      list.replaceChildren(...found.map((m) => {
        const fitted = r && r.marks.find((k) => k.across === m.place[0] && k.along === m.place[1]);
        return el('li', {}, t.markLine(m) + (fitted ? ', ' + t.residual({ off: fitted.residual_mm }) : '') + ' ', s ? b(t.removeMark(m.number), () => steer({ do: 'remove', number: m.number })) : '');
      }));
    },
  };
}
