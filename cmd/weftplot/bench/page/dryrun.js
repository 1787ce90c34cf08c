// Step 7: the dry run: the program's own bytes played on the pictures.
import { el, newID, setText, trouble, clearTrouble } from './dom.js';
import { get } from './wire.js';
import { t } from './text.js';

const speeds = [1, 2, 5, 10, 20, 50, 100, 200, 500];

export function dryrun(bench) {
  const id = newID('time'), sid = newID('speed');
  const slider = el('input', { type: 'range', id, min: '0', max: '1', step: 'any', value: '0', autocomplete: 'off', oninput: () => { at = Number(slider.value); draw(); } });
  const speed = el('select', { id: sid, autocomplete: 'off' }, speeds.map((n) => el('option', { value: String(n), text: t.times(n) })));
  speed.value = '50';
  const go = el('button', { type: 'button', text: t.play, onclick: () => (playing ? halt() : play()) });
  const says = el('p'), facts = el('ul', { class: 'plain' }), limits = el('ul', { class: 'plain' });
  const box = el('div', {}, el('div', { class: 'row' }, go, el('div', { class: 'field' }, el('label', { for: sid, text: t.speed }), speed)),
    el('div', { class: 'field' }, el('label', { for: id, text: t.timeline }), slider), says, el('p', { class: 'hint', text: t.predicted }), facts, el('h3', { text: t.limits }), limits);
  let runs = [], moves = [], total = 0, at = 0, playing = false, last = 0, loaded = '', next = 0, open = false;

  async function load(j) {
    const key = j.folder + j.picture;
    if (!j.whole || !j.has_machine || loaded === key) return;
    loaded = key;
    clearTrouble(box);
    try { runs = await get('/dryrun'); } catch (e) { loaded = ''; trouble(box, e.words); return; }
    moves = []; total = 0;
    for (const r of runs) {
      for (const m of r.moves) moves.push({ ...m, at: m.at.map((x) => x + total), pen: r.pen });
      total += r.total_s;
    }
    slider.max = String(total); at = 0; slider.value = '0';
    facts.replaceChildren(...runs.map((r) => el('li', { text: t.ofProgram(r) })));
    const broken = runs.flatMap((r) => r.limits);
    limits.replaceChildren(...(broken.length ? broken.map((l) => el('li', { text: t.limitAt(l) })) : [el('li', { text: t.noLimits })]));
    draw();
  }

  // until returns the moves that are done at a time, the last of them in part.
  function until(time) {
    let lo = 0, hi = moves.length;
    while (lo < hi) { const m = (lo + hi) >> 1; if (moves[m].at[0] <= time) lo = m + 1; else hi = m; }
    return lo;
  }

  function draw() {
    if (!open || !moves.length) { bench.play(null); return; }
    const n = until(at), done = moves.slice(0, Math.max(0, n - 1)), m = moves[Math.max(0, n - 1)];
    let k = 0;
    while (k + 1 < m.at.length && m.at[k + 1] <= at) k++;
    const way = m.way.slice(0, 2 * k + 2);
    let here = [m.way[2 * k], m.way[2 * k + 1]], pace = 0;
    if (k + 1 < m.at.length && m.at[k + 1] > m.at[k]) {
      const f = Math.max(0, Math.min(1, (at - m.at[k]) / (m.at[k + 1] - m.at[k]))), dx = m.way[2 * k + 2] - here[0], dy = m.way[2 * k + 3] - here[1];
      pace = at >= m.at[k] ? Math.hypot(dx, dy) / (m.at[k + 1] - m.at[k]) : 0;
      here = [here[0] + f * dx, here[1] + f * dy];
      way.push(...here);
    }
    bench.play({ moves: [...done, { down: m.down, way }], at: here, down: m.down });
    setText(says, t.playing({ pen: m.pen, down: m.down, speed: pace, time: t.minutes(at), total: t.minutes(total) }));
    slider.setAttribute('aria-valuetext', t.of(t.minutes(at), t.minutes(total)));
  }

  function play() {
    if (!moves.length) return;
    if (at >= total) at = 0;
    playing = true; last = performance.now();
    setText(go, t.pause);
    next = requestAnimationFrame(tick);
  }
  function halt() { playing = false; cancelAnimationFrame(next); setText(go, t.play); }
  function tick(now) {
    at = Math.min(total, at + (now - last) / 1000 * Number(speed.value));
    last = now;
    slider.value = String(at);
    draw();
    if (at >= total) halt(); else if (playing) next = requestAnimationFrame(tick);
  }

  return {
    box, step: 'dryrun',
    brief: (j) => (j && j.has_machine ? t.about(j.time) : ''),
    opened(yes, j) { open = yes; if (!yes) halt(); else if (j) load(j); draw(); },
    show(j) {
      if (!j) return;
      go.disabled = slider.disabled = !j.has_machine;
      if (!j.has_machine && loaded) { loaded = ''; moves = []; draw(); }
      if (open) load(j);
      if (!j.has_machine) { setText(says, t.noMachine); facts.replaceChildren(); limits.replaceChildren(); } else if (!j.whole) setText(says, t.notYet);
    },
  };
}
