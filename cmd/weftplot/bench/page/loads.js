// A rug that is larger than the machine, in several loads, on the step of the rug: it is
// offered where the rug did not fit, and taken back there.
import { clearTrouble, el, field, newID } from './dom.js';
import { t } from './text.js';

const length = (s) => /^\s*(\d+([.,]\d+)?\s*(in|mm|cm))?\s*$/i.test(s);

export function loads(bench) {
  const id = newID('panels');
  const tick = el('input', { id, type: 'checkbox', autocomplete: 'off', 'aria-describedby': id + '-hint', onchange: choose });
  const lap = field(t.lap, t.lapHint, length, (v, at) => bench.set({ lap: v.trim() }, at));
  const wish = el('div', { class: 'radio' }, tick, el('label', { for: id, text: t.panels }), el('span', { id: id + '-hint', class: 'hint', text: t.panelsHint }));
  const offer = el('div', {}, wish);
  const box = el('div', { class: 'loads', hidden: true }, offer, lap.box);
  // What was refused is asked for again, in several loads.
  async function choose() {
    const refused = tick.checked && bench.refused;
    await bench.set({ ...(refused ? refused.patch : {}), panels: String(tick.checked) }, offer);
    if (refused && bench.job && bench.job.settings.panels === 'true') clearTrouble(refused.box);
    bench.draw();
  }
  return {
    box,
    show(j) {
      const on = !!j && j.settings.panels === 'true';
      box.hidden = !j || !on && !bench.refused && !offer.querySelector(':scope > [role=alert]');
      lap.box.hidden = !on;
      if (!j) return;
      if (!bench.pending) tick.checked = on;
      lap.show(j.settings.lap);
    },
  };
}
