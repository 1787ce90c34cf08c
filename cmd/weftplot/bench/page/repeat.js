// A motif that is repeated along the border, on the step of the rug, in a section of its own.
import { choice, el, field, radios } from './dom.js';
import { t } from './text.js';

const height = (s) => /^\s*(\d+([.,]\d+)?\s*(rows|in|mm|cm))?\s*$/i.test(s);
const rows = (s) => /^\s*\d*\s*$/.test(s);

export function repeat(bench) {
  const set = (key) => (value, box) => bench.set({ [key]: value.trim() }, box);
  const layer = choice(t.motif, t.motifHint, (v, box) => bench.set({ repeat: v === t.noMotif ? '' : v }, box));
  const high = field(t.motifHeight, t.motifHeightHint, height, set('repeat-height'));
  const gap = field(t.motifGap, t.motifGapHint, rows, set('repeat-gap'));
  const give = radios(t.motifGive, [['gap', t.giveGap, ''], ['motif', t.giveMotif, ''], ['size', t.giveSize, t.giveSizeHint]], set('repeat-give'));
  const corner = choice(t.motifCorner, t.motifCornerHint, (v, box) => bench.set({ 'repeat-corner': Object.keys(t.corners).find((k) => t.corners[k] === v) || v }, box));
  const says = el('ul', { class: 'plain', 'aria-live': 'polite' });
  const more = el('div', { class: 'fields' }, high.box, gap.box, give.box, corner.box);
  return {
    box: el('details', { class: 'more repeat' }, el('summary', { text: t.motifTitle }), el('div', { class: 'fields' }, layer.box), more, says),
    show(j) {
      if (!j) return;
      const v = j.settings;
      layer.show([t.noMotif, ...j.in_file], v.repeat || t.noMotif);
      high.show(v['repeat-height']); gap.show(v['repeat-gap']); give.show(v['repeat-give']);
      corner.show([...Object.values(t.corners), ...j.in_file.filter((n) => n !== v.repeat)], t.corners[v['repeat-corner']] || v['repeat-corner']);
      more.hidden = !v.repeat;
      const key = v.repeat ? j.repeat.join('\n') : '';
      if (says.dataset.key !== key) { says.dataset.key = key; says.replaceChildren(...(key ? j.repeat : []).map((w) => el('li', { text: t.asSentence(w) }))); }
    },
  };
}
