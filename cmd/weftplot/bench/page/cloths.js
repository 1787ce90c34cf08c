// The two pictures: the front of the rug and the side the pen draws on, at the
// same scale, zoomed and moved together. While they are moved the browser shifts
// what is drawn; when they rest they are drawn sharp.
import { el, setText } from './dom.js';
import { t } from './text.js';
import { page } from './wire.js';

const over = 1.4; // how much larger than its window a sheet is drawn
// Where the name of a rectangle may stand, as shares of its sides.
const spots = [[0.5, 0.5], [0.5, 0.75], [0.5, 0.25], [0.25, 0.5], [0.75, 0.5], [0.25, 0.8], [0.75, 0.8], [0.25, 0.2], [0.75, 0.2]];
const rest = 120; // ms without a movement before it is drawn sharp

export function cloths(onPress) {
  const worker = new Worker('/page/ink.js', { type: 'module', name: 'ink' });
  const sheets = { front: sheet('front'), back: sheet('back') };
  const words = el('p', { class: 'in-words' });
  let meta = null, view = null, fit = 1, job = null, timer = 0, places = [], play = null, laid = null, wanted = 0, chosen = 0;

  const box = el('section', { class: 'cloths', 'aria-label': t.cloths, hidden: true },
    el('div', { class: 'pair' }, sheets.front.figure, sheets.back.figure),
    el('div', { class: 'tools', role: 'group', 'aria-label': t.look },
      tool(t.closer, () => zoom(1.5)), tool(t.farther, () => zoom(1 / 1.5)), tool(t.whole, whole),
      tool(t.toLeft, () => shift(-0.25, 0)), tool(t.toRight, () => shift(0.25, 0)), tool(t.toTop, () => shift(0, 0.25)), tool(t.toBottom, () => shift(0, -0.25))),
    el('details', { class: 'words' }, el('summary', { text: t.inWords }), words));

  function tool(name, act) { return el('button', { type: 'button', class: 'tool', text: name, onclick: act }); }

  function sheet(which) {
    const canvas = el('canvas', { class: 'ink' }), top = el('canvas', { class: 'top' });
    const window_ = el('div', { class: 'cloth', role: 'img', 'aria-label': which }, canvas, top);
    const caption = el('figcaption');
    const figure = el('figure', { class: which }, caption, window_);
    const off = canvas.transferControlToOffscreen();
    worker.postMessage({ type: 'canvas', which, canvas: off }, [off]);
    return { which, figure, caption, window: window_, canvas, top, w: 0, h: 0, drawn: null, flip: false };
  }

  worker.postMessage({ type: 'begin', secret: sessionStorage.getItem('secret'), page });
  worker.onmessage = (e) => {
    const m = e.data;
    if (m.type === 'loaded') {
      const first = !meta || sizes(meta) !== sizes(m.meta);
      meta = m.meta;
      if (first) whole(); else redraw();
    } else if (m.type === 'drawn') {
      const s = sheets[m.which];
      s.drawn = m.view;
      s.window.dataset.picture = m.picture;
      place(s);
    }
  };
  const sizes = (m) => [...m.rug, ...m.backing].join();

  // The window's size follows the page.
  new ResizeObserver(() => {
    for (const s of Object.values(sheets)) { s.w = s.window.clientWidth; s.h = s.window.clientHeight; }
    refit();
  }).observe(sheets.front.window);

  // refit keeps the whole in view until someone zooms.
  function refit() {
    if (!meta) return;
    const was = fit;
    measure();
    if (view && Math.abs(view.scale / was - 1) < 1e-6) view.scale = fit;
    redraw();
  }

  function measure() {
    const s = sheets.front, [x0, y0, x1, y1] = meta.rug;
    // The whole rug with a rim; a cloth that leans takes a little more.
    const [a, b, c, d] = meta.to_back;
    let w = x1 - x0, h = y1 - y0;
    // Sheets of paper reach beyond the rug.
    for (const { box: r } of laid ? laid.rects : []) {
      w = Math.max(w, x0 + x1 - 2 * r[0], 2 * r[2] - x0 - x1);
      h = Math.max(h, y0 + y1 - 2 * r[1], 2 * r[3] - y0 - y1);
    }
    const across = Math.max(w, Math.abs(a) * w + Math.abs(c) * h), along = Math.max(h, Math.abs(b) * w + Math.abs(d) * h);
    fit = Math.min(s.w / (across * 1.12), s.h / (along * 1.12)) || 1;
  }

  function whole() {
    if (!meta) return;
    measure();
    const [x0, y0, x1, y1] = meta.rug;
    view = { x: (x0 + x1) / 2, y: (y0 + y1) / 2, scale: fit };
    redraw();
  }

  function zoom(by, at) {
    if (!view) return;
    const k = Math.min(Math.max(view.scale * by, fit / 2), fit * 200);
    if (at) { // the place under the pointer stays there
      view.x += at[0] * (1 / view.scale - 1 / k);
      view.y += at[1] * (1 / view.scale - 1 / k);
    }
    view.scale = k;
    moved();
  }

  function shift(dx, dy) {
    if (!view) return;
    view.x += dx * sheets.front.w / view.scale;
    view.y += dy * sheets.front.h / view.scale;
    moved();
  }

  function centreOf(s) {
    if (s.which === 'front') return [view.x, view.y];
    const [a, b, c, d, e, f] = meta.to_back;
    return [a * view.x + c * view.y + e, b * view.x + d * view.y + f];
  }

  // place shifts what is drawn to where it belongs now.
  function place(s) {
    const d = s.drawn;
    if (!d || !view) return;
    const c = centreOf(s), k = view.scale / d.scale, sign = s.flip ? -1 : 1;
    const dx = sign * (d.centre[0] - c[0]) * view.scale, dy = (c[1] - d.centre[1]) * view.scale;
    const m = `translate(${dx}px, ${dy}px) scale(${k})`;
    s.canvas.style.width = d.w + 'px'; s.canvas.style.height = d.h + 'px';
    s.canvas.style.left = (s.w - d.w) / 2 + 'px'; s.canvas.style.top = (s.h - d.h) / 2 + 'px';
    s.canvas.style.transform = m;
  }

  function moved() {
    for (const s of Object.values(sheets)) place(s);
    overlay();
    clearTimeout(timer);
    timer = setTimeout(redraw, rest);
  }

  function redraw() {
    clearTimeout(timer);
    if (!view || !meta) return;
    const dpr = Math.min(devicePixelRatio || 1, 2);
    for (const s of Object.values(sheets)) {
      if (!s.w || !s.h) continue;
      const w = Math.round(s.w * over), h = Math.round(s.h * over);
      worker.postMessage({ type: 'view', which: s.which, view: { w, h, dpr, centre: centreOf(s), scale: view.scale, flip: s.flip } });
    }
    overlay();
  }

  // toScreen takes a place in a sheet's own frame to its window.
  function toScreen(s, x, y) {
    const c = centreOf(s), sign = s.flip ? -1 : 1;
    return [s.w / 2 + sign * (x - c[0]) * view.scale, s.h / 2 - (y - c[1]) * view.scale];
  }
  function onSheet(s, x, y) {
    if (s.which === 'front') return [x, y];
    const [a, b, c, d, e, f] = meta.to_back;
    return [a * x + c * y + e, b * x + d * y + f];
  }

  // overlay draws what is little and changes often: numbered places, marks, and
  // the pen of a dry run.
  function overlay() {
    if (!view || !meta) return;
    const dpr = Math.min(devicePixelRatio || 1, 2);
    for (const s of Object.values(sheets)) {
      if (!s.w) continue;
      if (s.top.width !== s.w * dpr || s.top.height !== s.h * dpr) { s.top.width = s.w * dpr; s.top.height = s.h * dpr; }
      const c = s.top.getContext('2d');
      c.setTransform(dpr, 0, 0, dpr, 0, 0);
      c.clearRect(0, 0, s.w, s.h);
      if (laid && s.which === 'back') layOver(c, s);
      for (const p of places) numbered(c, toScreen(s, ...onSheet(s, ...p.at)), p.number, p.number === chosen);
      if (s.which === 'back') for (const m of meta.marks) mark(c, s, m);
      if (play) pen(c, s);
    }
  }

  function numbered(c, [x, y], n, strong) {
    c.font = '600 13px system-ui, sans-serif'; c.textAlign = 'center'; c.textBaseline = 'middle';
    c.beginPath(); c.arc(x, y, strong ? 13 : 10, 0, 7); c.fillStyle = strong ? '#9c2f1f' : '#fffaf0'; c.fill();
    c.lineWidth = 2; c.strokeStyle = '#9c2f1f'; c.stroke();
    c.fillStyle = strong ? '#fffaf0' : '#7a2418'; c.fillText(n, x, y + 1);
  }

  // layOver draws sheets of paper, or places of the iron, with their names:
  // rectangles of the front, as they lie on a sheet of the page.
  function layOver(c, s) {
    const { rects, iron, joints } = laid, at = (x, y) => toScreen(s, ...onSheet(s, x, y));
    c.setLineDash(iron ? [6, 4] : []); c.lineWidth = iron ? 1.5 : 2; c.strokeStyle = iron ? '#9c2f1f' : '#1d4d7a';
    for (const { box: [x0, y0, x1, y1] } of rects) {
      c.beginPath();
      for (const p of [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]) c.lineTo(...at(...p));
      c.closePath();
      c.stroke();
    }
    c.setLineDash([]);
    c.strokeStyle = '#9c2f1f'; c.lineWidth = 1.5;
    for (const p of joints || []) {
      const [x, y] = at(...p);
      c.strokeRect(x - 3, y - 3, 6, 6);
    }
    c.font = `600 ${iron ? 12 : 14}px system-ui, sans-serif`; c.textAlign = 'center'; c.textBaseline = 'middle';
    const named = [];
    for (const { name, box: [x0, y0, x1, y1] } of rects) {
      const w = c.measureText(name).width + 6, h = 16;
      // Places of the iron overlap: a name stands where it covers no other, if it can.
      const free = spots.map(([u, v]) => at(x0 + u * (x1 - x0), y0 + v * (y1 - y0)));
      const [x, y] = free.find(([x, y]) => named.every((n) => Math.abs(n.x - x) > (n.w + w) / 2 || Math.abs(n.y - y) > h)) || free[0];
      named.push({ x, y, w });
      c.fillStyle = '#fffaf0'; c.fillRect(x - w / 2, y - h / 2, w, h);
      c.fillStyle = iron ? '#7a2418' : '#1d4d7a'; c.fillText(name, x, y + 1);
    }
  }

  function mark(c, s, m) {
    const [x, y] = toScreen(s, ...m.at);
    const far = 40; // residuals are far too small to be seen as they are
    const [fx, fy] = toScreen(s, m.at[0] + m.off[0] * far, m.at[1] + m.off[1] * far);
    c.strokeStyle = '#1d4d7a'; c.lineWidth = 2;
    c.beginPath(); c.moveTo(x - 8, y); c.lineTo(x + 8, y); c.moveTo(x, y - 8); c.lineTo(x, y + 8); c.stroke();
    c.strokeStyle = '#9c2f1f'; c.beginPath(); c.moveTo(x, y); c.lineTo(fx, fy); c.stroke();
    c.font = '600 13px system-ui, sans-serif'; c.fillStyle = '#1d4d7a'; c.fillText(m.number, x + 12, y - 10);
  }

  // pen draws the way of a dry run so far, and the pen. It is on the machine's
  // side; the front shows it through the inverse map.
  function pen(c, s) {
    const map = (x, y) => {
      if (s.which === 'back') return toScreen(s, x, y);
      const [a, b, cc, d, e, f] = meta.to_back, n = a * d - b * cc;
      return toScreen(s, (d * (x - e) - cc * (y - f)) / n, (a * (y - f) - b * (x - e)) / n);
    };
    for (const down of [false, true]) {
      c.beginPath();
      for (const m of play.moves) {
        if (m.down !== down) continue;
        for (let i = 0; i < m.way.length; i += 2) { const p = map(m.way[i], m.way[i + 1]); if (i) c.lineTo(...p); else c.moveTo(...p); }
      }
      c.setLineDash(down ? [] : [3, 4]);
      c.lineWidth = down ? 2.5 : 1; c.strokeStyle = down ? '#9c2f1f' : '#1d4d7a';
      c.stroke();
    }
    c.setLineDash([]);
    const [x, y] = map(...play.at);
    c.beginPath(); c.arc(x, y, play.down ? 5 : 9, 0, 7);
    c.lineWidth = 3; c.strokeStyle = '#1d4d7a'; c.fillStyle = play.down ? '#1d4d7a' : 'transparent';
    c.fill(); c.stroke();
  }

  // Fingers and wheel.
  for (const s of Object.values(sheets)) {
    const touching = new Map();
    let far = 0;
    s.window.addEventListener('wheel', (e) => {
      e.preventDefault();
      const r = s.window.getBoundingClientRect();
      zoom(Math.exp(-e.deltaY * 0.0015), onFront(s, e.clientX - r.left - s.w / 2, s.h / 2 - (e.clientY - r.top)));
    }, { passive: false });
    s.window.addEventListener('pointerdown', (e) => {
      touching.set(e.pointerId, [e.clientX, e.clientY]);
      if (touching.size === 1) far = 0;
      s.window.setPointerCapture(e.pointerId);
    });
    s.window.addEventListener('pointermove', (e) => {
      const was = touching.get(e.pointerId);
      if (!was || !view) return;
      const dx = e.clientX - was[0], dy = e.clientY - was[1];
      if (touching.size === 2) {
        const other = [...touching.entries()].find(([id]) => id !== e.pointerId)[1];
        const before = Math.hypot(was[0] - other[0], was[1] - other[1]), now = Math.hypot(e.clientX - other[0], e.clientY - other[1]);
        if (before > 0) zoom(now / before);
      }
      const share = 1 / touching.size;
      const [mx, my] = onFront(s, dx, -dy);
      view.x -= mx * share / view.scale;
      view.y -= my * share / view.scale;
      far += Math.abs(dx) + Math.abs(dy);
      touching.set(e.pointerId, [e.clientX, e.clientY]);
      moved();
    });
    const up = (e) => {
      if (touching.delete(e.pointerId) && e.type === 'pointerup' && far < 6 && view) {
        const r = s.window.getBoundingClientRect();
        press(s, e.clientX - r.left, e.clientY - r.top);
      }
    };
    s.window.addEventListener('pointerup', up);
    s.window.addEventListener('pointercancel', up);
  }

  // onFront takes a movement on a sheet, in pixels and upwards, to the front of the rug.
  function onFront(s, dx, dy) {
    if (s.which === 'front') return [dx, dy];
    const [a, b, c, d] = meta.to_back, n = a * d - b * c, x = s.flip ? -dx : dx;
    return [(d * x - c * dy) / n, (a * dy - b * x) / n];
  }

  function press(s, x, y) {
    let best = null, near = 18;
    for (const p of places) {
      const [px, py] = toScreen(s, ...onSheet(s, ...p.at));
      const d = Math.hypot(px - x, py - y);
      if (d < near) { near = d; best = p; }
    }
    if (best) { choose(best.number); onPress(best.number); }
  }

  function choose(n) {
    chosen = n;
    const p = places.find((q) => q.number === n);
    if (p && view) {
      view.x = p.at[0]; view.y = p.at[1]; view.scale = Math.max(view.scale, fit * 4);
      moved();
    } else overlay();
  }

  // names gives the pictures their names: the side each of them shows.
  function names(j) {
    const r = j.report, size = j.kit && !j.kit.panels ? t.kitSize(j.kit) : `${j.both.width} × ${j.both.height}`;
    const direct = j.settings.transfer === 'direct', hooked = j.settings.craft === 'hooking';
    const front = `${t.front}, ${t.readsRight}`;
    let back;
    if (!direct) back = j.side.charAt(0).toUpperCase() + j.side.slice(1);
    else back = hooked ? `${t.back}, ${t.fromBehind}` : `${t.back}, ${t.asDrawn}`;
    sheets.back.flip = direct && hooked;
    setText(sheets.front.caption, hooked && direct ? `${front}. ${t.drawnHere}` : front);
    setText(sheets.back.caption, back);
    for (const [s, name] of [[sheets.front, front], [sheets.back, back]]) {
      const label = `${name}: ${size}, ${t.lines(r.strokes)}`;
      if (s.window.getAttribute('aria-label') !== label) s.window.setAttribute('aria-label', label);
    }
    setText(words, t.pictureInWords(j));
  }

  // load fetches a picture that is newer than the one shown.
  function load(picture) {
    if (picture <= wanted) return;
    wanted = picture;
    worker.postMessage({ type: 'load', picture });
  }

  return {
    box, choose, whole,
    show(j) {
      job = j;
      box.hidden = !j;
      if (!j) return;
      names(j);
      load(j.picture);
      redraw();
    },
    load,
    inks(hidden, proved) { worker.postMessage({ type: 'show', hidden: [...hidden], proved }); },
    mark(list) { places = list; overlay(); },
    play(p) { play = p; overlay(); },
    lay(l) {
      if (JSON.stringify(l) === JSON.stringify(laid)) return;
      laid = l;
      refit();
    },
    get picture() { return meta && meta.picture; },
  };
}
