// Draws both sides of the rug on canvases of its own, so that the page never
// waits for it. What is drawn comes from the program's strokes.
let secret = '', page = '', data = null, paths = [], fronts = null;
let hidden = new Set(), proved = -1, number = 0;
const sheets = {}; // front and back: {canvas, ctx, view}

onmessage = async (e) => {
  const m = e.data;
  switch (m.type) {
    case 'begin': ({ secret, page } = m); break;
    case 'canvas': sheets[m.which] = { canvas: m.canvas, ctx: m.canvas.getContext('2d', { alpha: false }), view: null }; break;
    case 'load': await load(m.picture); break;
    case 'show':
      hidden = new Set(m.hidden); proved = m.proved;
      for (const k of Object.keys(sheets)) draw(k);
      break;
    case 'view': sheets[m.which].view = m.view; draw(m.which); break;
  }
};

// load fetches the strokes. A newer picture that is asked for meanwhile wins.
async function load(picture) {
  const mine = ++number;
  try {
    const r = await fetch('/picture', { headers: { Authorization: 'Bearer ' + secret, 'X-Page': page } });
    if (!r.ok || mine !== number) return;
    const got = await r.json();
    if (mine !== number) return;
    data = got;
  } catch { return; }
  paths = data.back.path.map((d) => new Path2D(d));
  fronts = data.front ? data.front.path.map((d) => new Path2D(d)) : null;
  const { back, front, back_weave, ...meta } = data;
  postMessage({ type: 'loaded', picture, meta });
}

const cloth = '#efe4cc', table = '#e4d7ba', thread = '#d3c4a2', edge = '#1d4d7a', ink = '#2b2622';

function draw(which) {
  const s = sheets[which];
  if (!s || !s.view || !data) return;
  const { w, h, dpr, centre, scale, flip } = s.view;
  if (s.canvas.width !== w * dpr || s.canvas.height !== h * dpr) { s.canvas.width = w * dpr; s.canvas.height = h * dpr; }
  const c = s.ctx, k = scale * dpr, sign = flip ? -1 : 1;
  c.setTransform(1, 0, 0, 1, 0, 0);
  c.fillStyle = table;
  c.fillRect(0, 0, w * dpr, h * dpr);
  const base = [sign * k, 0, 0, -k, w * dpr / 2 - sign * k * centre[0], h * dpr / 2 + k * centre[1]];
  // The front's own frame, seen on this sheet.
  const onSheet = which === 'front' ? base : times(base, data.to_back);
  c.setTransform(...onSheet);
  rect(c, data.backing); c.fillStyle = cloth; c.fill();
  weave(c, which, base, onSheet, k, dpr, w, h);
  c.setTransform(...onSheet);
  c.lineWidth = 1.5 * dpr / k; c.strokeStyle = edge; c.setLineDash([6 * dpr / k, 4 * dpr / k]);
  rect(c, data.rug); c.stroke();
  c.lineWidth = dpr / k; c.strokeStyle = ink; c.setLineDash([2 * dpr / k, 3 * dpr / k]);
  rect(c, data.backing); c.stroke();
  c.setLineDash([]);
  strokes(c, which, base, k, dpr);
  postMessage({ type: 'drawn', which, view: s.view, picture: data.picture });
}

function rect(c, [x0, y0, x1, y1]) { c.beginPath(); c.rect(x0, y0, x1 - x0, y1 - y0); }

function times([a, b, c, d, e, f], [A, B, C, D, E, F]) {
  return [a * A + c * B, b * A + d * B, a * C + c * D, b * C + d * D, a * E + c * F + e, b * E + d * F + f];
}

function inverse([a, b, c, d, e, f]) {
  const n = a * d - b * c;
  return [d / n, -b / n, -c / n, a / n, (c * f - d * e) / n, (b * e - a * f) / n];
}

// weave draws the channels once they are far enough apart to be told apart.
function weave(c, which, base, onSheet, k, dpr, w, h) {
  const [x0, y0, px, py] = data.weave;
  if (Math.min(px, py) * k < 5 * dpr) return;
  c.strokeStyle = thread; c.lineWidth = 0.8 * dpr / k;
  c.beginPath();
  if (which === 'back' && data.back_weave) {
    c.setTransform(...base);
    for (const l of data.back_weave) {
      c.moveTo(l[0], l[1]);
      for (let i = 2; i < l.length; i += 2) c.lineTo(l[i], l[i + 1]);
    }
  } else {
    c.setTransform(...onSheet);
    const [bx0, by0, bx1, by1] = data.backing;
    const at = inverse(onSheet), corner = (x, y) => [at[0] * x + at[2] * y + at[4], at[1] * x + at[3] * y + at[5]];
    const p = corner(0, 0), q = corner(w * dpr, h * dpr);
    const lx = Math.max(bx0, Math.min(p[0], q[0])), hx = Math.min(bx1, Math.max(p[0], q[0]));
    const ly = Math.max(by0, Math.min(p[1], q[1])), hy = Math.min(by1, Math.max(p[1], q[1]));
    for (let n = Math.ceil((lx - x0) / px); x0 + n * px <= hx; n++) { c.moveTo(x0 + n * px, ly); c.lineTo(x0 + n * px, hy); }
    for (let n = Math.ceil((ly - y0) / py); y0 + n * py <= hy; n++) { c.moveTo(lx, y0 + n * py); c.lineTo(hx, y0 + n * py); }
  }
  c.stroke();
}

function strokes(c, which, base, k, dpr) {
  const own = which === 'front' && fronts;
  const list = own ? fronts : paths, layer = own ? data.front.layer : data.back.layer, turn = own && data.front.turn;
  c.setTransform(...(which === 'front' && !own ? times(base, inverse(data.to_back)) : base));
  c.lineCap = 'round'; c.lineJoin = 'round';
  let last = -1, faint = null;
  for (let i = 0; i < list.length; i++) {
    const n = layer[i];
    if (hidden.has(data.layers[n].name)) continue;
    if (n !== last) {
      last = n;
      const l = data.layers[n];
      c.strokeStyle = l.colour; c.lineWidth = Math.max(l.width, 1.3 * dpr / k);
    }
    const pale = proved >= 0 && (own ? !turn || turn[i] >= proved : i >= proved);
    if (pale !== faint) { c.globalAlpha = pale ? 0.3 : 1; faint = pale; }
    c.stroke(list[i]);
  }
  c.globalAlpha = 1;
}
