// Step 4: how the drawing gets onto the cloth.
import { el, radios, setText } from './dom.js';
import { doubts } from './doubts.js';
import { t } from './text.js';

export function transfer(bench) {
  const how = radios(t.transfer, [['direct', t.direct, t.directHint], ['tracing', t.tracing, t.tracingHint], ['iron-on', t.iron, t.ironHint]], (v, box) => bench.set({ transfer: v }, box));
  const side = el('p'), paper = el('p'), wrong = doubts(bench, 'transfer');
  return {
    step: 'transfer', box: el('div', {}, how.box, wrong.box, side, paper),
    brief: (j) => (j ? { direct: t.direct, tracing: t.tracing, 'iron-on': t.iron }[j.settings.transfer] + (j.settings.print ? `, ${t.printed}: ${j.settings.print}` : '') : ''),
    show(j) {
      if (!j) return;
      how.show(j.settings.transfer);
      wrong.show(j); wrong.lead(bench.lead);
      setText(side, t.nowSide(j));
      setText(paper, j.settings.transfer === 'direct' || !j.has_machine ? '' : t.paperNext);
    },
  };
}
