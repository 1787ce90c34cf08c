// The corners of the sheet in a photo, to be dragged to where they are. The photo has a
// margin round it: where its frame cuts the sheet off, a corner lies outside it.
import { el, newID, setText } from './dom.js';
import { t } from './text.js';

const margin = 0.3; // of the shorter side of the photo
const svg = (tag, props = {}) => {
  const e = document.createElementNS('http://www.w3.org/2000/svg', tag);
  for (const [k, v] of Object.entries(props)) e.setAttribute(k, v);
  return e;
};

// corners is hidden until it has a photo to show. read is called with the four places, in
// pixels of the photo from its upper left corner.
export function corners(read) {
  const id = newID('corners'), says = el('p', { 'aria-live': 'polite' });
  const paper = svg('svg', { class: 'photo', role: 'group', 'aria-label': t.cornersOf, 'aria-describedby': id });
  const picture = svg('image'), sides = svg('polygon');
  paper.append(picture, sides);
  const go = el('button', { type: 'button', text: t.readCorners, onclick: () => read(at.map((p) => p.map((v) => Math.round(v * 10) / 10))) });
  const box = el('div', { hidden: true }, el('h3', { text: t.cornersOf }), el('p', { class: 'hint', id, text: t.cornersHint }), paper, says, el('div', { class: 'row' }, go));
  let at = [], wide = 0, high = 0, beyond = 0, held = -1, address = '';

  const handles = t.cornerNames.map((name, i) => {
    const h = svg('circle', { tabindex: '0', role: 'button', 'aria-label': name });
    h.addEventListener('pointerdown', (e) => { held = i; h.setPointerCapture(e.pointerId); e.preventDefault(); h.focus(); });
    h.addEventListener('pointermove', (e) => {
      if (held !== i) return;
      const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(paper.getScreenCTM().inverse());
      move(i, p.x, p.y);
    });
    for (const end of ['pointerup', 'pointercancel']) h.addEventListener(end, () => { held = -1; tell(i); });
    h.addEventListener('keydown', (e) => {
      const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
      if (!way) return;
      const step = e.shiftKey ? 1 : Math.max(1, 0.01 * Math.min(wide, high));
      move(i, at[i][0] + way[0] * step, at[i][1] + way[1] * step);
      tell(i);
      e.preventDefault();
    });
    paper.append(h);
    return h;
  });

  const within = (v, most) => Math.min(most + beyond, Math.max(-beyond, v));
  function move(i, x, y) {
    at[i] = [within(x, wide), within(y, high)];
    handles[i].setAttribute('cx', at[i][0]);
    handles[i].setAttribute('cy', at[i][1]);
    sides.setAttribute('points', at.map((p) => p.join()).join(' '));
  }
  function tell(i) {
    const [x, y] = at[i].map(Math.round);
    setText(says, t.cornerAt(t.cornerNames[i], x, y, x < 0 || y < 0 || x > wide || y > high));
  }

  function hide() {
    box.hidden = true;
    if (address) URL.revokeObjectURL(address);
    address = '';
  }
  return {
    box, hide,
    lead(leads) { go.disabled = !leads; },
    // show shows a photo with its corners where they were found, or a little inside it. A
    // picture that the browser cannot show leaves it hidden.
    async show(blob, found) {
      hide();
      const photo = new Image();
      const own = address = photo.src = URL.createObjectURL(blob);
      try { await photo.decode(); } catch { if (address === own) hide(); return false; }
      if (address !== own) return false; // hidden meanwhile, or another is shown
      wide = photo.naturalWidth;
      high = photo.naturalHeight;
      beyond = margin * Math.min(wide, high);
      paper.setAttribute('viewBox', `${-beyond} ${-beyond} ${wide + 2 * beyond} ${high + 2 * beyond}`);
      for (const [k, v] of Object.entries({ href: address, width: wide, height: high })) picture.setAttribute(k, v);
      at = (found || [[0.1, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]].map(([x, y]) => [x * wide, y * high])).map((p) => [...p]);
      handles.forEach((h, i) => { h.setAttribute('r', 0.02 * (Math.max(wide, high) + 2 * beyond)); move(i, ...at[i]); });
      setText(says, '');
      box.hidden = false;
      return true;
    },
  };
}
