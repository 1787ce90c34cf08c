// Step 1: the drawing.
import { el, field, newID, setText, trouble, clearTrouble } from './dom.js';
import { post, send } from './wire.js';
import { doubts } from './doubts.js';
import { onPaper } from './paper.js';
import { corners } from './corners.js';
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
  const asked = corners((at) => take(refused, at));
  const paper = onPaper(bench, () => sheet.input.value.trim());
  const film = el('div', { hidden: true }), camera = el('button', { type: 'button', text: t.camera, onclick: photograph });
  const wrong = doubts(bench, 'drawing');
  let told = '', refused = null;

  const box = el('div', {}, el('div', { class: 'fields' }, fileBox, wide.box, sheet.box), busy, asked.box,
    el('div', { class: 'row' }, camera), film, now, wrong.box, layers, el('div', { hidden: true, class: 'jobs' }, el('h3', { text: t.jobsHere }), jobs),
    el('h3', { text: t.notRead }), list, paper.box);

  // take hands a file over. at are the corners of the sheet in it, where a person gave them.
  async function take(f, at) {
    clearTrouble(fileBox);
    if (!at) asked.hide();
    if (f.size > most) { trouble(fileBox, { what: t.tooLarge, do: t.tooLargeDo }); file.value = ''; return; }
    setText(busy, t.reading);
    try {
      const q = new URLSearchParams({ name: f.name, wide: wide.input.value.trim(), sheet: sheet.input.value.trim() });
      if (at) q.set('corners', JSON.stringify(at));
      await send('/drawing?' + q, await readable(f));
      asked.hide();
      bench.now();
    } catch (e) {
      if (!e.stale) trouble(fileBox, e.words || { what: e.message });
      // A photo of a sheet may have been refused because its corners were not found.
      if (!e.stale && !at && sheet.input.value.trim() && await asked.show(f)) refused = f;
    }
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

  addEventListener('dragover', (e) => { e.preventDefault(); document.body.classList.add('drop'); });
  addEventListener('dragleave', () => document.body.classList.remove('drop'));
  addEventListener('drop', (e) => {
    e.preventDefault();
    document.body.classList.remove('drop');
    if (e.dataTransfer.files[0] && bench.lead) { bench.go('drawing'); take(e.dataTransfer.files[0]); }
  });

  return {
    box, step: 'drawing',
    brief: (j) => (j ? `${j.name}: ${t.lines(j.report.strokes)}` : t.drawingMissing),
    show(j, offered) {
      setText(now, j ? t.nowHere(j) : '');
      wrong.show(j); wrong.lead(bench.lead); asked.lead(bench.lead);
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
      paper.show(j);
      if (!j) return;
      setText(layers, `${t.layersOf}: ` + j.layers.map((l) => l.name).join(', '));
      const ignored = [...j.notes, ...j.ignored];
      list.replaceChildren(...(ignored.length ? ignored : [t.allRead]).map((n) => el('li', { text: n })));
    },
  };
}
