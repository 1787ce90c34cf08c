// What is surely wrong about a job, beside what causes it, with a deliberate way
// to go on all the same.
import { clearTrouble, el, trouble } from './dom.js';
import { t } from './text.js';

// doubts makes the place for them on a step. It is hidden while nothing is wrong.
export function doubts(bench, step) {
  const list = el('div'), said = el('p', { class: 'hint' });
  const go = el('button', { type: 'button', text: t.really, onclick: () => decide('yes') });
  const back = el('button', { type: 'button', text: t.notReally, onclick: () => decide('no') });
  const box = el('div', { class: 'doubts', hidden: true }, list, said, el('div', { class: 'row' }, go, back));
  let key = '';
  const decide = (v) => { clearTrouble(box); bench.set({ really: v }, box); };
  return {
    box,
    show(j) {
      const here = j ? j.doubts.filter((d) => d.steps.includes(step)) : [];
      box.hidden = !here.length;
      const now = JSON.stringify([here, j && j.overruled]);
      if (now === key) return;
      key = now;
      if (!here.length) { list.replaceChildren(); return; }
      list.replaceChildren(...here.map((d) => {
        const line = el('div');
        if (j.overruled) line.append(el('p', { text: t.overruledIs(d.what) })); else trouble(line, d);
        return line;
      }));
      said.textContent = j.overruled ? t.overruledSaid : t.reallySaid;
      go.hidden = j.overruled; back.hidden = !j.overruled;
    },
    lead(yes) { go.disabled = back.disabled = !yes; },
  };
}

// doubtful tells whether something on a step keeps the job from being made.
export const doubtful = (j, step) => !!j && !j.overruled && j.doubts.some((d) => d.steps.includes(step));
