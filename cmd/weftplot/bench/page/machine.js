// Step 5: the machine, its port and its pens, and what is remembered.
import { choice, clearTrouble, el, field, newID, setText, trouble } from './dom.js';
import { post } from './wire.js';
import { doubts } from './doubts.js';
import { editor } from './editor.js';
import { t } from './text.js';

export function machine(bench) {
  const set = (key) => (value, box) => bench.set({ [key]: value }, box);
  const which = choice(t.machine, t.machineHint, set('machine')), port = choice(t.port, t.portHint, (v) => { bench.port = v; bench.draw(); });
  const other = field(t.otherPort, t.otherPortHint, () => false, (v) => { bench.port = v.trim() || bench.port; bench.draw(); });
  const pen = choice(t.pen, t.penHint, set('pen')), layers = el('div', { class: 'fields' });
  const wrong = doubts(bench, 'machine');
  const asked = el('ul', { class: 'plain', 'aria-live': 'polite' });
  const ask = el('button', { type: 'button', text: t.ask, onclick: askIt }), askBox = el('div', {}, el('div', { class: 'row' }, ask), asked);

  const edit = editor(bench, (kind) => bench.job && bench.job.settings[kind]);
  const keeps = el('div'), keysID = newID('keys');
  const keys = el('input', { type: 'checkbox', id: keysID, autocomplete: 'off', onchange: () => { bench.keys = keys.checked; } });
  keys.checked = true;

  const box = el('div', {}, el('div', { class: 'fields' }, which.box, port.box, other.box, pen.box), wrong.box, layers, askBox,
    el('div', { class: 'tick' }, keys, el('label', { for: keysID, text: t.keysOn })),
    edit, el('h3', { text: t.remembered }), keeps);

  function button(name, act) { return el('button', { type: 'button', text: name, onclick: act }); }

  async function askIt() {
    clearTrouble(askBox);
    asked.replaceChildren();
    try {
      const { manners } = await post('/ask', { port: bench.port });
      asked.replaceChildren(...(manners && manners.length ? manners.map((m) => t.answers({ flow: m.Flow, says: m.Says })) : [t.askNothing]).map((s) => el('li', { text: s })));
    } catch (e) { trouble(askBox, e.words); }
  }
  async function forget(kind, name) {
    clearTrouble(keeps);
    try { await post('/forget', { kind, name }); bench.offers(); } catch (e) { trouble(keeps, e.words); }
  }

  let layerKey = '', keepKey = '';
  const perLayer = [];
  return {
    box, step: 'machine',
    brief: (j) => (j ? t.machineBrief(j.settings, bench.port === 'sim') : ''),
    show(j, offered) {
      if (!offered) return;
      const ports = offered.ports.map((p) => p.name);
      if (!bench.port) bench.port = ports.includes(offered.remembered.port) ? offered.remembered.port : 'sim';
      port.show(ports, bench.port);
      const k = JSON.stringify(offered.remembered);
      if (k !== keepKey) { keepKey = k; showKept(offered.remembered); }
      wrong.show(j); wrong.lead(bench.lead);
      if (!j) return;
      ask.disabled = !j.has_machine;
      which.show(offered.machines.map((o) => o.name), j.settings.machine);
      const about = offered.machines.find((o) => o.name === j.settings.machine);
      setText(which.note, (about ? about.about + '. ' : '') + t.machineHint);
      const pens = offered.pens.map((o) => o.name);
      pen.show(pens, j.settings.pen);
      const key = j.layers.map((l) => l.name).join('\n');
      if (key !== layerKey) {
        layerKey = key;
        perLayer.length = 0;
        for (const l of j.layers) perLayer.push({ name: l.name, choice: choice(t.penFor(l.name), '', (v, b) => bench.set({ ['pen-for ' + l.name]: v === t.penSame ? '' : v }, b)) });
        layers.replaceChildren(...perLayer.map((p) => p.choice.box));
      }
      for (const p of perLayer) p.choice.show([t.penSame, ...pens], j.pen_for[p.name] || t.penSame);
    },
  };

  function showKept(r) {
    keeps.replaceChildren(el('p', { class: 'hint', text: r.last.length + r.own.length ? t.rememberedIn(r.folder) : t.rememberedNone }),
      el('ul', { class: 'plain' }, r.last.map((l) => el('li', { text: l })), r.own.map((o) => el('li', { text: t.ownProfile(o) }, button(t.forget(o.name), () => forget(o.kind, o.name))))),
      r.last.length ? el('div', { class: 'row' }, button(t.forgetLast, () => forget('', ''))) : '');
  }
}
