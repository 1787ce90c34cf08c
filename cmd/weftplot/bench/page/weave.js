// What else can be said of the weave, on the step of the rug, in a section of its own:
// few need it, and who does looks for it there.
import { choice, el, field, radios } from './dom.js';
import { channels } from './channels.js';
import { t } from './text.js';

const degrees = (s) => /^\s*(off|\d+([.,]\d+)?)?\s*$/i.test(s);
const gauge = (s) => /^\s*(\d+([.,]\d+)?\s*(rows?|mm|cm|in)|\d+([.,]\d+)?\/(in|cm))?\s*$/i.test(s);
const outside = (s) => /^\s*(margin|none|\d+(\s*rows?)?)?\s*$/i.test(s);
const length = (s) => /^\s*(\d+([.,]\d+)?([- ]\d+\/\d+)?\s*(in|inch|"|ft|mm|cm|rows))?\s*$/i.test(s);

export function weave(bench) {
  const set = (key) => (value, box) => bench.set({ [key]: value.trim() }, box);
  const margin = field(t.margin, t.marginHint, length, set('margin'));
  const snap = field(t.snap, t.snapHint, degrees, set('snap'));
  const stripes = radios(t.stripes, [['even', t.stripesEven, t.stripesEvenHint], ['nearest', t.stripesNearest, t.stripesNearestHint]], set('stripes'));
  const slants = radios(t.diagonals, [['on', t.diagonalsOn, t.diagonalsOnHint], ['off', t.diagonalsOff, t.diagonalsOffHint]], set('diagonals'));
  const named = channels(bench);
  const loops = field(t.gauge, t.gaugeHint, gauge, set('gauge'));
  const ticks = radios(t.edgeTicks, [['false', t.edgeTicksNone, ''], ['true', t.edgeTicksDrawn, '']], set('ticks'));
  const lines = ['hem', 'fold', 'cut'].map((key) => ({ key, ...field(t.makingUp[key], t.makingUpHint, outside, set(key)) }));
  const first = choice(t.drawnFirst, t.drawnFirstHint, (v, box) => bench.set({ first: v === t.borderFirst ? '' : v }, box));
  return {
    box: el('details', { class: 'more weave' }, el('summary', { text: t.moreWeave }),
      el('div', { class: 'fields' }, margin.box, snap.box, stripes.box, slants.box, loops.box, ticks.box, lines.map((l) => l.box), first.box), named.box),
    show(j) {
      if (!j) return;
      const v = j.settings;
      margin.show(v.margin); snap.show(v.snap); stripes.show(v.stripes); slants.show(v.diagonals); named.show(j); loops.show(v.gauge); ticks.show(v.ticks);
      for (const l of lines) l.show(v[l.key]);
      first.show([t.borderFirst, ...j.layers.map((l) => l.name).filter((n) => n !== 'border')], v.first || t.borderFirst);
    },
  };
}
