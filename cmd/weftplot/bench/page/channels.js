// Lines that lie in a channel because a person says so, on the step of the rug.
import { choice, clearTrouble, el, field, trouble } from './dom.js';
import { t } from './text.js';

// channels makes the list of them, and the fields that add one. What is set is a line of
// text for each: LAYER=AXIS:CHANNEL.
export function channels(bench) {
  const layer = choice(t.channelLayer, '', () => {}), way = choice(t.channelWay, '', () => {});
  const number = field(t.channelNumber, t.channelNumberHint, () => false, () => {});
  const list = el('ul', { class: 'plain' });
  const add = el('button', { type: 'button', text: t.channelAdd, onclick: more });
  const box = el('fieldset', { class: 'channels' }, el('legend', { text: t.channels }), el('p', { class: 'hint', text: t.channelsHint }), list,
    el('div', { class: 'two' }, layer.box, way.box, number.box, add));
  let lines = [], key = '';

  async function more() {
    clearTrouble(box);
    const n = number.input.value.trim();
    if (!/^\d+$/.test(n)) { trouble(box, { what: t.channelWhich }); return; }
    const axis = way.select.value === t.channelWays.along ? 'along' : 'across';
    await bench.set({ channel: [...lines, `${layer.select.value}=${axis}:${n}`].join('\n') }, box);
    if (!box.querySelector(':scope > [role=alert]')) number.input.value = '';
  }
  const less = (i) => bench.set({ channel: lines.filter((_, k) => k !== i).join('\n') }, box);
  way.show(Object.values(t.channelWays), t.channelWays.along);

  return {
    box,
    show(j) {
      layer.show(j.in_file, j.in_file.includes(layer.select.value) ? layer.select.value : j.in_file[0] || '');
      add.disabled = !bench.lead || !j.in_file.length;
      for (const b of list.querySelectorAll('button')) b.disabled = !bench.lead;
      if (j.settings.channel === key) return;
      key = j.settings.channel;
      lines = key ? key.split('\n') : [];
      list.replaceChildren(...lines.map((l, i) => {
        const at = l.lastIndexOf('='), [axis, n] = l.slice(at + 1).split(':'), name = t.channelLine(l.slice(0, at), axis, n);
        return el('li', {}, name + ' ', el('button', { type: 'button', text: t.channelRemove(i + 1), onclick: () => less(i) }));
      }));
    },
  };
}
