// Step 2: the rug.
import { choice, el, field, radios, setText } from './dom.js';
import { t } from './text.js';
import { words } from './words.js';

// wholeLength tells whether what is typed so far can be a length.
const wholeLength = (s) => /^\s*\d+([.,]\d+)?([- ]\d+\/\d+)?\s*(in|inch|"|ft|mm|cm|m|rows)\s*$/i.test(s);
const wholeBorder = (s) => /^\s*(edge|none|\d+(\s*,\s*\d+)*)?\s*$/.test(s);

export function rug(bench) {
  const set = (key) => (value, box) => bench.set({ [key]: value }, box);
  const width = field(t.width, t.sizeHint, wholeLength, set('width')), height = field(t.height, t.sizeHint, wholeLength, set('height'));
  const craft = radios(t.craft, [['punch-needle', t.punch, t.punchHint], ['hooking', t.hook, t.hookHint]], set('craft'));
  const backing = choice(t.backing, t.backingHint, set('backing'));
  const borders = field(t.borders, t.bordersHint, wholeBorder, set('border')), clearance = field(t.clearance, t.clearanceHint, (s) => /^\d+$/.test(s.trim()), set('clearance'));
  const lettering = words(bench);
  const lay = radios(t.lay, [['upright', t.upright, ''], ['turned', t.turned, t.turnedHint]], set('lay'));
  const becomes = el('p'), most = el('p', { class: 'hint' }), cut = el('p', { class: 'hint' });
  return {
    step: 'rug',
    box: el('div', {}, el('div', { class: 'fields' }, width.box, height.box, el('div', {}, becomes, most, cut), lay.box, craft.box, backing.box, borders.box, clearance.box), lettering.box),
    brief: (j) => (j ? t.rugBrief(j) : ''),
    show(j, offered) {
      if (!j || !offered) return;
      const v = j.settings;
      lettering.show(j);
      width.show(v.width); height.show(v.height); borders.show(v.border); clearance.show(v.clearance);
      lay.show(v.lay); craft.show(v.craft); backing.show(offered.backings.map((o) => o.name), v.backing);
      const about = offered.backings.find((o) => o.name === v.backing);
      setText(backing.note, about ? about.about : t.backingHint);
      setText(becomes, t.becomes(j)); setText(most, t.largest(j)); setText(cut, t.cut(j));
    },
  };
}
