// Words in single-line letters, on the step of the rug: typed, set, and moved by whole
// rows of holes.
import { choice, el, field, setText } from './dom.js';
import { t } from './text.js';

const wholeHeight = (s) => /^\s*\d+([.,]\d+)?\s*(rows?|in|mm|cm)\s*$/i.test(s);
const wholeShift = (s) => /^\s*-?\d+\s*,\s*-?\d+\s*$/.test(s);

export function words(bench) {
  const set = (key) => (value, box) => bench.set({ [key]: value }, box);
  const text = field(t.words, t.wordsHint, () => true, set('words'));
  const alphabet = choice(t.alphabet, t.alphabetHint, set('alphabet'));
  const at = choice(t.wordsAt, '', set('words-at'));
  const height = field(t.wordsHeight, t.wordsHeightHint, wholeHeight, set('words-height'));
  const moved = field(t.wordsMoved, t.wordsMovedHint, wholeShift, (v, b) => { shift = read(v); return bench.set({ 'words-shift': v }, b); });
  const read = (v) => (wholeShift(v) ? v.split(',').map(Number) : [0, 0]);
  let shift = [0, 0], moving = 0;

  // Presses that follow one another add up, before the first is answered.
  async function move(x, y) {
    shift = [shift[0] + x, shift[1] + y];
    moved.input.value = shift.join(',');
    moving++;
    await bench.set({ 'words-shift': shift.join(',') }, moved.box);
    moving--;
  }
  const buttons = [[t.wordsLeft, -1, 0], [t.wordsRight, 1, 0], [t.wordsUp, 0, 1], [t.wordsDown, 0, -1]]
    .map(([name, x, y]) => el('button', { type: 'button', class: 'tool', text: name, onclick: () => move(x, y) }));
  const where = el('p', { 'aria-live': 'polite' });
  return {
    box: el('div', { class: 'lettering' }, el('h3', { text: t.wordsTitle }), el('div', { class: 'fields' }, text.box, alphabet.box, at.box, height.box, moved.box),
      el('div', { class: 'row', role: 'group', 'aria-label': t.wordsMove }, buttons), where),
    show(j) {
      const v = j.settings;
      text.show(v.words); height.show(v['words-height']); moved.show(v['words-shift']);
      alphabet.show(['plain', 'counted', 'round'], v.alphabet);
      at.show(['bottom', 'top', 'top,bottom'], v['words-at']);
      if (!moving) shift = read(v['words-shift']);
      for (const b of buttons) b.disabled = !bench.lead || !v.words;
      setText(where, v['words-place']);
    },
  };
}
