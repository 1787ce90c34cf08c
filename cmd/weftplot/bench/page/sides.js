// Step 3: front and back: layers, and what is to be looked at.
import { el, newID } from './dom.js';
import { t } from './text.js';

export function sides(bench) {
  const layers = el('fieldset', {}, el('legend', { text: t.layersOf })), list = el('ul', { class: 'plain' }), said = el('p', { class: 'hint' });
  const warnings = el('ul', { class: 'plain' });
  const hidden = new Set();
  let layerKey = '', findingKey = '', chosen = 0;

  const box = el('div', {}, layers, el('h3', { text: t.findings }), said, list, el('h3', { text: t.warnings }), warnings);

  function choose(n) {
    chosen = n;
    for (const b of list.querySelectorAll('button')) b.setAttribute('aria-pressed', String(Number(b.dataset.number) === n));
  }
  return {
    box, step: 'sides',
    brief: (j) => (j ? (j.checked ? t.findingsBrief(j.findings.length) : '') : ''),
    pick(n) { choose(n); list.querySelector(`button[data-number="${n}"]`)?.scrollIntoView({ block: 'nearest' }); },
    hidden,
    show(j) {
      if (!j) return;
      const key = j.layers.map((l) => l.name).join('\n');
      if (key !== layerKey) {
        layerKey = key;
        hidden.clear();
        layers.replaceChildren(el('legend', { text: t.layersOf }), ...j.layers.map((l) => {
          const id = newID('layer');
          const tick = el('input', { type: 'checkbox', id, autocomplete: 'off', onchange: () => { if (tick.checked) hidden.delete(l.name); else hidden.add(l.name); bench.inks(); } });
          tick.checked = true;
          return el('div', { class: 'tick' }, tick, el('label', { for: id }, t.show(l.name), el('span', { class: 'hint', text: ` ${t.lines(l.strokes)}, ${l.pen}` })));
        }));
        bench.inks();
      }
      said.textContent = j.checked ? (j.findings.length ? '' : t.noFindings) : t.stillChecking;
      const shown = j.findings.filter((f) => f.listed);
      const fk = JSON.stringify([shown, j.warnings]);
      if (fk === findingKey) return;
      findingKey = fk;
      bench.places(j.kit ? [] : shown.filter((f) => f.at_mm).map((f) => ({ number: f.number, at: f.at_mm })));
      list.replaceChildren(...shown.map((f) => el('li', {}, el('button', {
        type: 'button', class: 'place', 'data-number': f.number, 'aria-pressed': 'false', onclick: () => { choose(f.number); bench.look(f.number); },
      }, el('b', { text: f.number }), el('span', { text: (f.layer ? `${f.layer}: ` : '') + f.message })))),
      ...(j.findings.length > shown.length ? [el('li', { text: t.more(j.findings.length - shown.length) })] : []));
      warnings.replaceChildren(...(j.warnings.length ? j.warnings.map((w) => el('li', { text: w.message })) : [el('li', { text: t.noWarnings })]));
    },
  };
}
