// Small helpers for building the page. Text is always set as text, never as
// markup: names come from files of all kinds.

// el makes an element: el('p', {class: 'x', onclick: f}, 'text', child, …).
export function el(tag, props = {}, ...children) {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(props)) {
    if (v === undefined || v === null || v === false) continue;
    if (k.startsWith('on')) e.addEventListener(k.slice(2), v);
    else if (k === 'text') e.textContent = v;
    else e.setAttribute(k, v === true ? '' : v);
  }
  e.append(...children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== false));
  return e;
}

let count = 0;
export const newID = (stem) => `${stem}-${++count}`;

// setText changes text only when it differs, so that nothing is read out twice.
export function setText(e, text) {
  if (e.textContent !== text) e.textContent = text;
}

// field makes a labelled text field. act is called with what was typed, once it
// is a whole value or the field is left; it returns a promise.
export function field(label, hint, whole, act) {
  const id = newID('field');
  const input = el('input', { id, type: 'text', autocomplete: 'off', spellcheck: 'false', 'aria-describedby': id + '-hint' });
  const note = el('p', { id: id + '-hint', class: 'hint', text: hint });
  const box = el('div', { class: 'field' }, el('label', { for: id, text: label }), input, note);
  let timer = 0, told = '', waiting = 0;
  const wrong = () => box.querySelector(':scope > [role=alert]');
  const send = async () => {
    clearTimeout(timer);
    if (input.value === told && !wrong()) return;
    told = input.value;
    waiting++;
    try { await act(input.value, box); } finally { waiting--; }
  };
  input.addEventListener('input', () => {
    clearTimeout(timer);
    if (whole(input.value)) timer = setTimeout(send, 300);
  });
  input.addEventListener('change', send);
  input.addEventListener('keydown', (e) => { if (e.key === 'Enter') send(); });
  return {
    box, input, note,
    show(value) {
      // What is being typed, or is on its way, or is to be mended, stays.
      if (waiting || wrong() || document.activeElement === input) return;
      input.value = told = value;
    },
  };
}

// radios makes a labelled group: options are [value, label, hint].
export function radios(legend, options, act) {
  const name = newID('radio');
  const inputs = options.map(([value]) => el('input', { type: 'radio', name, value, id: `${name}-${value}`, autocomplete: 'off', onchange: () => act(value, box) }));
  const box = el('fieldset', { class: 'radios', role: 'radiogroup', 'aria-labelledby': name + '-legend' }, el('legend', { id: name + '-legend', text: legend }),
    options.map(([value, label, hint], i) => el('div', { class: 'radio' }, inputs[i], el('label', { for: `${name}-${value}`, text: label }),
      hint ? el('span', { class: 'hint', text: hint }) : null)));
  return { box, inputs, show(value) { for (const i of inputs) i.checked = i.value === value; } };
}

// choice makes a labelled select whose options hold names.
export function choice(label, hint, act) {
  const id = newID('choice');
  const select = el('select', { id, autocomplete: 'off', 'aria-describedby': id + '-hint', onchange: () => act(select.value, box) });
  const note = el('p', { id: id + '-hint', class: 'hint', text: hint });
  const box = el('div', { class: 'field' }, el('label', { for: id, text: label }), select, note);
  let last = '';
  return {
    box, select, note,
    show(names, value) {
      const list = names.includes(value) || value === '' ? names : [...names, value];
      const key = list.join('\n');
      if (key !== last) {
        select.replaceChildren(...list.map((n) => el('option', { value: n, text: n })));
        last = key;
      }
      if (document.activeElement !== select || select.value !== value) select.value = value;
    },
  };
}

// trouble puts a sentence about what went wrong beside what caused it.
export function trouble(box, t) {
  clearTrouble(box);
  if (!t) return;
  const text = sentence(t);
  box.append(el('p', { role: 'alert', class: 'trouble', text }));
}

export function clearTrouble(box) {
  for (const a of box.querySelectorAll(':scope > [role=alert]')) a.remove();
}

export function sentence(t) {
  const cap = (s) => s.charAt(0).toUpperCase() + s.slice(1);
  let s = cap(t.what);
  if (!/[.!?]$/.test(s)) s += '.';
  if (t.do) s += ' ' + cap(t.do) + (/[.!?]$/.test(t.do) ? '' : '.');
  return s;
}
