// Step 8: drawing. Every motion is asked for by a person's own press, once.
import { clearTrouble, el, newID, sentence, setText, trouble } from './dom.js';
import { get, post } from './wire.js';
import { kitPart, loadNow } from './kit.js';
import { pdf } from './pdf.js';
import { t } from './text.js';

export function drawIt(bench) {
  const b = (name, act, cls) => el('button', { type: 'button', text: name, class: cls, onclick: act });
  const edge = b(t.edge, () => move('edge')), rehearse = b(t.rehearse, () => move('rehearse'));
  const draw = b(t.draw, () => move('draw'), 'main'), resume = b(t.resume, () => move('resume'), 'main');
  const cautions = el('ul'), ticks = el('div'), where = el('p'), half = el('p'), why = el('p', { class: 'hint' });
  const fresh = b(t.newCloth, async () => {
    clearTrouble(box);
    try { await post('/cloth'); bench.now(); } catch (e) { trouble(box, e.words); }
  });
  const newCloth = el('div', { hidden: true }, half, el('p', { class: 'hint', text: t.newClothHint }), el('div', { class: 'row' }, fresh));
  const slow = el('ul', { class: 'plain' });
  const sheet = el('pre', { tabindex: '0' });
  const hands = el('div', { hidden: true }), over = b(t.writeOver, () => bench.set({ replace: 'yes' }, hands));
  const paper = el('details', { ontoggle: async () => {
    clearTrouble(paper);
    if (!paper.open) return;
    try { sheet.textContent = (await get('/sheet')).text; } catch (e) { sheet.textContent = ''; trouble(paper, e.words); }
  } }, el('summary', { text: t.sheetText }), sheet);
  const print = el('div', { class: 'row' }, pdf('/sheet.pdf', t.openSheet));
  const part = kitPart(bench);
  const box = el('div', {}, where, part.box, el('h3', { text: t.before }), cautions, slow, el('p', { class: 'hint', text: t.firstComes }),
    el('p', { text: t.offered }), el('div', { class: 'row' }, edge, rehearse),
    el('p', { text: t.inkNow }), ticks, el('div', { class: 'row' }, draw, resume), why, hands, newCloth, print, paper);
  let tickKey = '', said = '', busy = false, wasDrawing = false;

  const allTicked = () => [...ticks.querySelectorAll('input')].every((i) => i.checked);

  async function move(what) {
    if (busy) return; // a second click asks for nothing
    busy = true;
    clearTrouble(box);
    bench.quiet();
    try { await post('/move', { do: what, port: bench.port, turn: bench.turn, part: bench.part }); } catch (e) { if (!e.stale) trouble(box, e.words); }
    await bench.fresh();
    busy = false;
    bench.draw();
  }

  function showTicks(home) {
    const key = String(home);
    if (key === tickKey) return;
    tickKey = key;
    ticks.replaceChildren(...[...t.ticks, ...(home ? [t.tickHome] : [])].map((words) => {
      const id = newID('tick');
      return el('div', { class: 'tick' }, el('input', { type: 'checkbox', id, autocomplete: 'off', onchange: () => bench.draw() }), el('label', { for: id, text: words }));
    }));
  }

  return {
    box, step: 'draw',
    brief: (j, n) => (j ? (j.kit && !n.status.moving ? t.kitBrief(j.kit) : n.status.moving && n.status.proved ? t.drawnOf(n.status.proved, n.status.strokes) : j.begun.done ? t.drawn : j.begun.half ? t.drawnOf(j.begun.drawn, j.begun.strokes) : '') : ''),
    show(j, offered, n) {
      part.show(j, offered, n);
      const k = j && j.kit, load = k && loadNow(k, bench.part), waits = !!load && load.waits, some = !!k && !!bench.part.copies;
      const begun = !j ? { half: false } : !k ? j.begun : load && !some ? load.begun : { half: false }, going = begun.half;
      showTicks((going || begun.needs_home) && bench.port !== 'sim');
      const drawing = n.status.moving && /draw|resume/.test(n.status.do);
      // What was ticked holds for one drawing.
      if (wasDrawing && !drawing) for (const i of ticks.querySelectorAll('input')) i.checked = false;
      wasDrawing = drawing;
      const can = !!j && j.whole && j.has_machine && !!bench.port && bench.lead && !n.status.moving && !n.steer && !busy && !bench.pending;
      edge.disabled = rehearse.disabled = !can || waits;
      draw.disabled = !can || waits || !allTicked() || going;
      resume.disabled = !can || waits || !allTicked() || !going && !some;
      print.hidden = !j || !j.whole;
      newCloth.hidden = !(going || k && k.loads.some((l) => l.state !== 'due') || j && j.overtaken) || n.status.moving;
      fresh.disabled = !bench.lead;
      if (!j) { setText(why, t.needsDrawing); return; }
      setText(where, j.has_machine ? t.where(bench.port, j.settings.machine) : t.noMachine);
      setText(half, j.overtaken ? t.overtaken : k ? (k.panels ? t.panelsNewCloth : t.kitNewCloth) : going ? t.half(begun) : '');
      const against = j.doubts.length && !j.overruled;
      hands.hidden = !j.by_hand;
      const handKey = JSON.stringify(j.by_hand);
      if (hands.dataset.key !== handKey) {
        hands.dataset.key = handKey;
        hands.replaceChildren();
        if (j.by_hand) { trouble(hands, j.by_hand); hands.append(el('div', { class: 'row' }, over)); }
      }
      over.disabled = !bench.lead;
      setText(why, against ? t.against(j.doubts) : j.by_hand || !j.has_machine ? '' : j.overtaken ? '' : !j.whole ? t.notYet : !bench.lead ? t.watching : waits ? load.do : !allTicked() && !n.status.moving ? t.tickAll : k && !load ? (k.panels ? t.panelsAllDrawn : t.kitAllDrawn) : begun.sent ? t.sentBefore : begun.done ? t.drawnBefore : '');
      // What is known before the machine moves about how it will go.
      const late = j.warnings.filter((w) => w.code === 'slow-line').map((w) => w.message), lateKey = late.join('\n');
      if (slow.dataset.key !== lateKey) { slow.dataset.key = lateKey; slow.replaceChildren(...late.map((w) => el('li', { text: sentence({ what: w }) }))); }
      const key = j.cautions.join('\n');
      if (key !== said) { said = key; cautions.replaceChildren(...j.cautions.map((c) => el('li', { text: c }))); }
    },
  };
}

// frame is what stands on every step while a machine moves.
export function frame(bench) {
  const what = el('p', { class: 'what' }), says = el('p'), bar = el('progress', { max: '1', value: '0', 'aria-label': t.atWork });
  const key = (k) => async () => {
    try { await post('/key', { key: k, turn: bench.turn }); } catch { /* the status tells what became of it */ }
    bench.now();
  };
  const hold = el('button', { type: 'button', class: 'hold', text: t.hold, onclick: key('hold') });
  const lift = el('button', { type: 'button', class: 'lift', text: t.lift, onclick: key('lift') });
  const go = el('button', { type: 'button', class: 'go', text: t.goOn, onclick: key('go') });
  const stop = el('button', { type: 'button', class: 'stop', text: t.stop, onclick: halt });
  const isDrawn = el('button', { type: 'button', text: t.isDrawn, onclick: key('drawn') }), notDrawn = el('button', { type: 'button', text: t.notDrawn, onclick: key('not-drawn') });
  const answers = el('div', { class: 'row', hidden: true }, isDrawn, notDrawn);
  async function halt() {
    try { await post('/stop'); } catch (e) { bench.alarm(e.words); }
    bench.now();
  }
  addEventListener('keydown', (e) => {
    if (!bench.keys || box.hidden || e.ctrlKey || e.altKey || e.metaKey || /INPUT|SELECT|TEXTAREA/.test(e.target.tagName)) return;
    const act = { s: stop, h: hold, l: lift }[e.key.toLowerCase()];
    if (act && !act.disabled) { e.preventDefault(); act.click(); }
  });
  const box = el('section', { class: 'frame', 'aria-label': t.atWork, hidden: true }, what, says, bar,
    answers, el('div', { class: 'hands' }, hold, lift, go, stop), el('p', { class: 'hint', text: t.realStop }));
  return {
    box,
    show(n) {
      const s = n.status;
      box.hidden = !s.moving && !n.steer;
      document.body.classList.toggle('working', !box.hidden);
      if (box.hidden) return;
      setText(what, n.steer ? t.steered : s.confirm ? s.text : s.asked ? s.asked : t.says(s.word, s.layer && !s.held ? s.layer.replace(/^layer /, '') : ''));
      setText(says, s.says);
      bar.hidden = !s.total_mm || !/draw|resume/.test(s.do);
      bar.value = s.total_mm ? s.drawn_mm / s.total_mm : 0;
      hold.disabled = lift.disabled = !bench.lead || !s.moving || s.held;
      answers.hidden = !s.confirm; isDrawn.disabled = notDrawn.disabled = !bench.lead;
      go.hidden = !s.held || s.confirm; go.disabled = !bench.lead;
      hold.hidden = !s.moving || s.held; // Go on stands in its place
      lift.hidden = !s.moving;
    },
  };
}
