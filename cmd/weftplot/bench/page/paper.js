// What was read from a scan or a photo: its lines on the paper, which can be struck
// out, gaps, which can be closed, and ends, which can be joined.
import { clearTrouble, el, field, newID, radios, setText, trouble } from './dom.js';
import { get, post } from './wire.js';
import { corners } from './corners.js';
import { t } from './text.js';

// onPaper is shown with the drawing. sheet tells what was said of its paper.
export function onPaper(bench, sheet) {
  const picture = el('img', { class: 'scan', alt: '' }), signs = el('div', { class: 'signs', 'aria-hidden': 'true' }), cross = el('span', { class: 'cross', hidden: true });
  const hintID = newID('paper'), frame = el('div', { class: 'onpaper', tabindex: '0', role: 'application', 'aria-label': t.paperFrame, 'aria-describedby': hintID }, picture, signs, cross);
  const back = el('button', { type: 'button', text: t.lineBack, onclick: () => change({ do: 'back' }) });
  const doubts = el('ul', { class: 'plain' }), gaps = el('ul', { class: 'plain' }), said = el('p', { 'aria-live': 'polite' });
  const isWide = field(t.paperIs, t.paperIsHint, () => false, (v) => change({ do: 'paper', width: v.trim(), sheet: sheet() }, isWide.box));
  const ofFile = field(t.pageOfFile, '', () => false, (v) => change({ do: 'paper', page: /^\s*\d{1,5}\s*$/.test(v) ? Number(v) : -1, sheet: sheet() }, ofFile.box));
  const does = radios(t.aPress, [['strike', t.strikes, t.strikeHint], ['join', t.joins, t.joinHint]], (v) => { mode = v; forget(); });
  const ofSheet = corners((at) => change({ do: 'paper', width: last.paper.width, sheet: last.paper.sheet, corners: at }, ofSheet.box));
  const moveCorners = el('button', { type: 'button', text: t.moveCorners, onclick: showCorners });
  const box = el('div', { hidden: true }, el('h3', { text: t.onPaper }), el('div', { class: 'fields' }, ofFile.box, isWide.box, does.box), el('div', { class: 'row' }, moveCorners), ofSheet.box, el('p', { class: 'hint', id: hintID, text: t.paperKeys }),
    frame, said, el('div', { class: 'row' }, back), el('h3', { text: t.gaps }), el('p', { class: 'hint', text: t.gapsHint }), gaps, el('h3', { text: t.doubtful }), doubts);
  let last = null, shownScan = '', shownSheet = '', place = null, mode = 'strike', first = null, at = [0.5, 0.5];
  does.show(mode);

  // change changes the lines that were read from paper.
  async function change(what, where = box) {
    clearTrouble(where);
    back.disabled = true;
    try { await post('/lines', what); if (what.corners) ofSheet.hide(); } catch (e) { if (!e.stale) trouble(where === box ? pressed : where, e.words); }
    await bench.fresh();
  }
  const pressed = el('div');
  frame.after(pressed);

  // onDrawing takes a place on the picture, as shares of its sides, to the drawing, mm.
  function onDrawing([fx, fy]) {
    const [x, y, w, h] = place.box, [a, b, c, d, ox, oy] = place.m;
    const px = fx * w + x - ox, py = fy * h + y - oy, n = a * d - b * c;
    return [(d * px - c * py) / n, (a * py - b * px) / n];
  }
  function press(share) {
    if (!place || !bench.lead) return;
    clearTrouble(pressed);
    const [x, y] = onDrawing(share);
    if (mode === 'strike') { change({ do: 'strike', x, y, within: 3 }); return; }
    if (!first) {
      first = { x, y, sign: sign('1', [x, y]) };
      first.sign.classList.add('end');
      signs.append(first.sign);
      said.textContent = t.joinSecond;
      return;
    }
    const { x: x0, y: y0 } = first;
    forget();
    change({ do: 'join', x: x0, y: y0, x2: x, y2: y, within: 5 });
  }
  function forget() {
    if (first) first.sign.remove();
    first = null;
    said.textContent = '';
  }
  picture.addEventListener('click', (e) => {
    const r = picture.getBoundingClientRect();
    press([(e.clientX - r.left) / r.width, (e.clientY - r.top) / r.height]);
  });
  function showCross() { cross.style.left = `${at[0] * 100}%`; cross.style.top = `${at[1] * 100}%`; }
  frame.addEventListener('focus', () => { cross.hidden = !frame.matches(':focus-visible'); showCross(); });
  frame.addEventListener('blur', () => { cross.hidden = true; });
  frame.addEventListener('keydown', (e) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key], step = e.shiftKey ? 0.002 : 0.02;
    if (way) {
      at = at.map((v, i) => Math.min(1, Math.max(0, v + way[i] * step)));
      cross.hidden = false;
      showCross();
    } else if (e.key === 'Enter' || e.key === ' ') press(at);
    else return;
    e.preventDefault();
  });

  async function showCorners() {
    clearTrouble(pressed);
    try { await ofSheet.show(await get('/photo'), last.scan.sheet.corners_px); } catch (e) { if (!e.stale) trouble(pressed, e.words); }
  }

  // sign puts a number on the paper at a place of its drawing.
  function sign(number, [x, y]) {
    const [bx, by, w, h] = place.box, [a, b, c, d, ox, oy] = place.m;
    const s = el('span', { text: String(number) });
    s.style.left = `${(a * x + c * y + ox - bx) / w * 100}%`;
    s.style.top = `${(b * x + d * y + oy - by) / h * 100}%`;
    return s;
  }

  async function show(j) {
    box.hidden = !j || !j.scan;
    if (box.hidden) { shownScan = shownSheet = ''; ofSheet.hide(); return; }
    last = j;
    moveCorners.hidden = !j.scan.sheet;
    moveCorners.disabled = !bench.lead; ofSheet.lead(bench.lead);
    isWide.show(j.paper.width || t.mm(j.scan.drawing_mm[0]));
    ofFile.box.hidden = j.scan.pages < 2;
    ofFile.show(String(j.scan.page)); setText(ofFile.note, t.pageOfFileHint(j.scan.pages));
    back.disabled = !j.edits || !bench.lead;
    for (const b of gaps.querySelectorAll('button')) b.disabled = !bench.lead;
    // The corners stay in view, half dragged as they may be, while the sheet is still the one
    // that they were shown for.
    const sheetKey = [j.folder, j.scan.page, j.scan.sheet && j.scan.sheet.corners_px].join();
    if (sheetKey !== shownSheet) ofSheet.hide();
    shownSheet = sheetKey;
    const key = [j.folder, j.edits, j.lines, j.paper.width, j.scan.page, j.scan.drawing_mm].join();
    if (key === shownScan) return;
    shownScan = key;
    let blob;
    try { blob = await get('/scan'); } catch { shownScan = ''; return; }
    const text = await blob.text(), old = picture.src;
    // The picture is a page; its drawing stands in it by the first matrix.
    place = { box: /viewBox="([^"]*)"/.exec(text)[1].split(' ').map(Number), m: /matrix\(([^)]*)\)/.exec(text)[1].split(' ').map(Number) };
    picture.src = URL.createObjectURL(blob);
    if (old.startsWith('blob:')) URL.revokeObjectURL(old);
    picture.alt = t.onPaperAlt(j.lines);
    forget();
    signs.replaceChildren(...j.gaps.map((g, i) => sign(i + 1, g.at)));
    gaps.replaceChildren(...(j.gaps.length ? j.gaps.map((g, i) => el('li', {}, t.gapLine(i + 1, g) + ' ',
      el('button', { type: 'button', text: t.closeGap(i + 1), onclick: () => change({ do: 'close', x: g.at[0], y: g.at[1] }) }))) : [el('li', { text: t.noGaps })]));
    doubts.replaceChildren(...j.scan.doubtful.map((d) => el('li', { text: t.placeOn(d.at_mm, d.message) })),
      ...j.scan.notes.map((n) => el('li', { text: n })));
  }
  return { box, show };
}
