// Step 1: the drawing.
import { el, field, newID, setText, trouble, clearTrouble } from './dom.js';
import { get, post, send } from './wire.js';
import { t } from './text.js';

const most = 100 * 1024 * 1024;

export function drawing(bench) {
  const id = newID('drawing');
  const file = el('input', { id, type: 'file', accept: '.svg,.svgz,.dxf,.png,.jpg,.jpeg,.tif,.tiff,.webp,.gif,.bmp,.pdf,image/*', 'aria-describedby': id + '-hint', onchange: () => { if (file.files[0]) take(file.files[0]); } });
  const fileBox = el('div', { class: 'field' }, el('label', { for: id, text: t.drawing }), file, el('p', { id: id + '-hint', class: 'hint', text: t.drawingHint }));
  const busy = el('p', { class: 'hint', 'aria-live': 'polite' });
  const never = () => false;
  const wide = field(t.paperWidth, t.paperWidthHint, never, () => {}), sheet = field(t.sheet, t.sheetHint, never, () => {});
  const now = el('p'), list = el('ul', { class: 'plain' }), layers = el('p');
  const jobs = el('div', { class: 'row' });
  const picture = el('img', { class: 'scan', alt: '' }), back = el('button', { type: 'button', text: t.lineBack, onclick: () => change({ do: 'back' }) });
  const doubts = el('ul', { class: 'plain' }), gaps = el('ul', { class: 'plain' }), signs = el('div', { class: 'signs', 'aria-hidden': 'true' });
  const isWide = field(t.paperIs, t.paperIsHint, () => false, (v) => change({ do: 'paper', width: v.trim(), sheet: sheet.input.value.trim() }, isWide.box));
  const paper = el('div', { hidden: true }, el('h3', { text: t.onPaper }), el('div', { class: 'fields' }, isWide.box), el('p', { class: 'hint', text: t.strikeHint }),
    el('div', { class: 'onpaper' }, picture, signs), el('div', { class: 'row' }, back), el('h3', { text: t.gaps }), el('p', { class: 'hint', text: t.gapsHint }), gaps, el('h3', { text: t.doubtful }), doubts);
  const film = el('div', { hidden: true }), camera = el('button', { type: 'button', text: t.camera, onclick: photograph });
  let shownScan = '', told = '', onPage = null;

  const box = el('div', {}, el('div', { class: 'fields' }, fileBox, wide.box, sheet.box), busy,
    el('div', { class: 'row' }, camera), film, now, layers, el('div', { hidden: true, class: 'jobs' }, el('h3', { text: t.jobsHere }), jobs),
    el('h3', { text: t.notRead }), list, paper);

  async function take(f) {
    clearTrouble(fileBox);
    if (f.size > most) { trouble(fileBox, { what: t.tooLarge, do: t.tooLargeDo }); file.value = ''; return; }
    setText(busy, t.reading);
    try {
      const q = new URLSearchParams({ name: f.name, wide: wide.input.value.trim(), sheet: sheet.input.value.trim() });
      await send('/drawing?' + q, await readable(f));
      bench.now();
    } catch (e) { if (!e.stale) trouble(fileBox, e.words || { what: e.message }); }
    setText(busy, '');
    file.value = '';
  }

  // readable turns a picture that the program cannot read, and the browser can,
  // into one that both can.
  async function readable(f) {
    if (!f.type.startsWith('image/') || /png|jpeg|tiff|svg|webp|gif|bmp/.test(f.type)) return f;
    try {
      const b = await createImageBitmap(f);
      return await pixels(b, b.width, b.height);
    } catch { return f; } // the program says what it is
  }
  async function pixels(source, w, h) {
    const c = new OffscreenCanvas(w, h);
    c.getContext('2d').drawImage(source, 0, 0);
    return c.convertToBlob({ type: 'image/png' });
  }

  async function photograph() {
    clearTrouble(fileBox);
    let stream;
    try { stream = await navigator.mediaDevices.getUserMedia({ video: { width: { ideal: 3840 }, facingMode: 'environment' } }); } catch {
      trouble(fileBox, { what: t.cameraNone, do: t.cameraNoneDo });
      return;
    }
    const video = el('video', { autoplay: true, playsinline: true, 'aria-label': t.camera });
    video.srcObject = stream;
    const end = () => { for (const k of stream.getTracks()) k.stop(); film.replaceChildren(); film.hidden = true; };
    film.replaceChildren(video, el('div', { class: 'row' },
      el('button', { type: 'button', text: t.cameraTake, onclick: async () => {
        const data = await pixels(video, video.videoWidth, video.videoHeight);
        end();
        take(new File([data], 'photo.png', { type: 'image/png' }));
      } }), el('button', { type: 'button', text: t.cameraEnd, onclick: end })));
    film.hidden = false;
  }

  // change changes the lines that were read from paper.
  async function change(what, where = paper) {
    clearTrouble(where);
    back.disabled = true;
    try { await post('/lines', what); } catch (e) { if (!e.stale) trouble(where, e.words); }
    await bench.fresh();
  }
  picture.addEventListener('click', (e) => {
    if (!onPage || !bench.lead) return;
    const r = picture.getBoundingClientRect(), [x, y, w, h] = onPage.box, [a, b, c, d, ox, oy] = onPage.m;
    const px = (e.clientX - r.left) / r.width * w + x - ox, py = (e.clientY - r.top) / r.height * h + y - oy, n = a * d - b * c;
    change({ do: 'strike', x: (d * px - c * py) / n, y: (a * py - b * px) / n, within: 3 });
  });
  // sign puts a number on the paper at a place of its drawing.
  function sign(number, [x, y]) {
    const [bx, by, w, h] = onPage.box, [a, b, c, d, ox, oy] = onPage.m;
    const s = el('span', { text: String(number) });
    s.style.left = `${(a * x + c * y + ox - bx) / w * 100}%`;
    s.style.top = `${(b * x + d * y + oy - by) / h * 100}%`;
    return s;
  }

  addEventListener('dragover', (e) => { e.preventDefault(); document.body.classList.add('drop'); });
  addEventListener('dragleave', () => document.body.classList.remove('drop'));
  addEventListener('drop', (e) => {
    e.preventDefault();
    document.body.classList.remove('drop');
    if (e.dataTransfer.files[0] && bench.lead) { bench.go('drawing'); take(e.dataTransfer.files[0]); }
  });

  async function showScan(j) {
    paper.hidden = !j.scan;
    if (j.scan) {
      isWide.show(j.paper.width || t.mm(j.scan.drawing_mm[0]));
      back.disabled = !j.edits || !bench.lead;
      for (const b of gaps.querySelectorAll('button')) b.disabled = !bench.lead;
    }
    const key = [j.folder, j.edits, j.lines, j.paper.width, j.scan.drawing_mm].join();
    if (!j.scan || key === shownScan) return;
    shownScan = key;
    const blob = await get('/scan');
    const text = await blob.text();
    const old = picture.src;
    // The picture is a page; its drawing stands in it by the first matrix.
    onPage = { box: /viewBox="([^"]*)"/.exec(text)[1].split(' ').map(Number), m: /matrix\(([^)]*)\)/.exec(text)[1].split(' ').map(Number) };
    picture.src = URL.createObjectURL(blob);
    if (old.startsWith('blob:')) URL.revokeObjectURL(old);
    picture.alt = t.onPaperAlt(j.lines);
    signs.replaceChildren(...j.gaps.map((g, i) => sign(i + 1, g.at)));
    gaps.replaceChildren(...(j.gaps.length ? j.gaps.map((g, i) => el('li', {}, t.gapLine(i + 1, g) + ' ',
      el('button', { type: 'button', text: t.closeGap(i + 1), onclick: () => change({ do: 'close', x: g.at[0], y: g.at[1] }) }))) : [el('li', { text: t.noGaps })]));
    doubts.replaceChildren(...j.scan.doubtful.map((d) => el('li', { text: t.placeOn(d.at_mm, d.message) })),
      ...j.scan.notes.map((n) => el('li', { text: n })));
  }

  return {
    box, step: 'drawing',
    brief: (j) => (j ? `${j.name}: ${t.lines(j.report.strokes)}` : t.drawingMissing),
    show(j, offered) {
      setText(now, j ? t.nowHere(j) : '');
      const key = offered ? offered.jobs.join('\n') : '';
      jobs.parentElement.hidden = !key;
      if (key !== told) {
        told = key;
        jobs.replaceChildren(...offered.jobs.map((n) => el('button', { type: 'button', text: t.openJob(n), onclick: async () => {
          clearTrouble(fileBox);
          try { await post('/open', { job: n }); bench.now(); } catch (e) { if (!e.stale) trouble(fileBox, e.words); }
        } })));
      }
      list.previousElementSibling.hidden = !j;
      if (!j) return;
      setText(layers, `${t.layersOf}: ` + j.layers.map((l) => l.name).join(', '));
      const ignored = [...j.notes, ...j.ignored];
      list.replaceChildren(...(ignored.length ? ignored : [t.allRead]).map((n) => el('li', { text: n })));
      showScan(j);
    },
  };
}
