// The points of a load, on the step The cloth on the frame: the one to be found, with a
// picture of what the pen then stands over, and the way to any other.
import { el, newID, setText } from './dom.js';
import { get } from './wire.js';
import { t } from './text.js';

const svg = (tag, props, ...children) => {
  const e = document.createElementNS('http://www.w3.org/2000/svg', tag);
  for (const [k, v] of Object.entries(props)) e.setAttribute(k, v);
  e.append(...children);
  return e;
};

// picture draws what is on the cloth round a point, which lies in its middle.
function picture(p, name) {
  const r = p.reach, path = (d, cls) => svg('path', { d, class: cls });
  return svg('svg', { viewBox: `${-r} ${-r} ${2 * r} ${2 * r}`, role: 'img', 'aria-label': t.pointPicture(name) },
    svg('g', { transform: 'scale(1,-1)' }, ...p.weave.map((d) => path(d, 'weave')), ...p.ink.map((d) => path(d, 'ink')),
      path('M-6 0H-1.5M1.5 0H6M0 -6V-1.5M0 1.5V6', 'here')));
}

// points is shown while a load is looked for. Steer sends an order to the pen.
export function points(steer) {
  const title = el('h3'), place = el('p', { 'aria-live': 'polite' }), seen = el('div', { class: 'seen' }), says = el('p', { 'aria-live': 'polite' });
  const id = newID('point'), which = el('select', { id, autocomplete: 'off' });
  const go = el('button', { type: 'button', text: t.goToPoint, onclick: () => steer({ do: 'point', number: Number(which.value) }) });
  const other = el('div', { class: 'two' }, el('div', { class: 'field' }, el('label', { for: id, text: t.otherPoint }), which), go);
  const box = el('div', { class: 'points', hidden: true }, title, el('div', { class: 'point' }, seen, el('div', {}, place, says)));
  let shown = '', listed = '';

  async function look(s) {
    const key = s.point ? `${s.load}/${s.point}` : '';
    if (key === shown) return;
    shown = key;
    seen.replaceChildren();
    if (!key || !s.points.length) return;
    let p;
    try { p = await get(`/point?load=${s.load}&point=${s.point}`); } catch { if (shown === key) shown = ''; return; }
    if (shown === key) seen.replaceChildren(picture(p, s.points[s.point - 1].name));
  }

  return {
    box, other,
    show(s) {
      box.hidden = other.hidden = !s;
      if (!s) { shown = ''; return; }
      setText(title, t.pointOf(s));
      setText(place, t.pointPlace(s));
      setText(says, s.says ? t.asSentence(s.says) : t.pointsWanted(s));
      look(s);
      seen.hidden = other.hidden = !s.points.length;
      const key = JSON.stringify(s.points.map((p) => p.found));
      if (key !== listed) {
        listed = key;
        const was = which.value;
        which.replaceChildren(...s.points.map((p, i) => el('option', { value: String(i + 1), text: t.pointLine(i + 1, p) })));
        if (was) which.value = was;
      }
    },
  };
}
