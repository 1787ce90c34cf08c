// What is printed at full size, on the step Onto the cloth: the paper, its sheets laid
// over the rug, and where the iron is pressed.
import { choice, el, field, radios, setText, trouble } from './dom.js';
import { pdf } from './pdf.js';
import { t } from './text.js';

const length = (s) => /^\s*(\d+([.,]\d+)?\s*(in|inch|"|mm|cm))?\s*$/i.test(s);
const percent = (s) => /^\s*(\d+([.,]\d+)?\s*%(\s*x\s*\d+([.,]\d+)?\s*%)?)?\s*$/i.test(s);
const sides = (s) => /^\s*(none|\d+([.,]\d+)?\s*(in|mm|cm)?\s*x\s*\d+([.,]\d+)?\s*(in|mm|cm))?\s*$/i.test(s);

export function printing(bench) {
  const set = (key) => (value, box) => bench.set({ [key]: value.trim() }, box);
  let job = null, offered = null;
  const by = radios(t.drawnBy, [['machine', t.byMachine, ''], ['none', t.byNone, t.byNoneHint]], (v, box) => {
    if (v === 'machine') return bench.set({ machine: lastMachine() }, box);
    return bench.set({ machine: 'none' }, box);
  });
  const size = choice(t.paperSize, t.paperSizeHint, (v, box) => bench.set({ print: v === t.noPaper ? '' : v }, box));
  const roll = field(t.paperRoll, t.paperRollHint, (s) => /^\s*\d+([.,]\d+)?\s*(in|cm|mm)\s*$/i.test(s), (v, box) => (v.trim() ? bench.set({ print: v.replace(/\s+/g, '') + '-roll' }, box) : null));
  const overlap = field(t.overlap, t.overlapHint, length, set('overlap'));
  const margin = field(t.printMargin, t.printMarginHint, length, set('print-margin'));
  const scale = field(t.printerScale, t.printerScaleHint, percent, set('printer-scale'));
  const line = field(t.printLine, t.printLineHint, length, set('print-line'));
  const grey = field(t.printGrey, t.printGreyHint, (s) => /^\s*\d*\s*$/.test(s), set('print-grey'));
  const border = radios(t.borderOn, [['machine', t.borderOnPaper, ''], ['cloth', t.borderOnCloth, t.borderOnClothHint]], set('border-on'));
  const iron = field(t.ironSole, t.ironSoleHint, sides, set('iron'));
  const over = radios(t.overPicture, [['sheets', t.overSheets, ''], ['iron', t.overIron, ''], ['none', t.overNone, '']], (v) => { shows = v; lay(); });
  const says = el('p', { 'aria-live': 'polite' }), pressed = el('p'), wrong = el('div');
  const links = el('div', { class: 'row' }, pdf('/paper.pdf', t.openPaper), pdf('/sheet.pdf', t.openSheet));
  const more = el('div', { class: 'fields' }, overlap.box, margin.box, scale.box, line.box, grey.box, border.box, iron.box);
  const box = el('div', { class: 'printing' }, by.box, el('h3', { text: t.onPaperTitle }), el('div', { class: 'fields' }, size.box, roll.box), wrong, says, pressed, links, over.box, more);
  let shows = 'sheets', wrongKey = '';
  over.show(shows);

  // lastMachine is the machine that draws when the job is no longer for paper alone.
  let known = '';
  function lastMachine() {
    const names = offered ? offered.machines.map((o) => o.name) : [];
    return known || (names.includes('practice') ? 'practice' : names[0] || 'practice');
  }

  function lay() {
    const p = job && job.printed;
    bench.lay(p && shows !== 'none' ? { rects: shows === 'iron' ? p.presses.map((r, i) => ({ name: String(i + 1), box: r })) : p.sheets, iron: shows === 'iron' } : null);
  }

  return {
    box,
    show(j, o) {
      job = j;
      if (o) offered = o;
      if (!j || !offered) return;
      const v = j.settings, p = j.printed, printed = !!v.print;
      if (j.has_machine) known = v.machine;
      by.show(j.has_machine ? 'machine' : 'none');
      const rolled = /-roll$/.test(v.print);
      size.show([t.noPaper, ...offered.papers], v.print || t.noPaper);
      roll.show(rolled ? v.print.replace(/-roll$/, '') : '');
      overlap.show(v.overlap || ''); margin.show(v['print-margin']); scale.show(v['printer-scale']); line.show(v['print-line'] || ''); grey.show(v['print-grey'] || '');
      border.show(v['border-on']); iron.show(v.iron);
      more.hidden = !printed;
      links.firstChild.hidden = !printed;
      links.hidden = !j.whole;
      border.box.hidden = !v.border; iron.box.hidden = v.transfer !== 'iron-on';
      over.box.hidden = !p;
      const ironed = !!p && p.presses.length > 0;
      over.box.children[2].hidden = !ironed;
      if (!ironed && shows === 'iron') { shows = 'sheets'; over.show(shows); }
      setText(says, !printed ? '' : j.no_paper ? '' : p ? t.sheetsSay(p) : t.layingOut);
      setText(pressed, ironed ? t.pressesSay(p) : '');
      const key = JSON.stringify(j.no_paper);
      if (key !== wrongKey) { wrongKey = key; trouble(wrong, j.no_paper); }
      lay();
    },
  };
}
