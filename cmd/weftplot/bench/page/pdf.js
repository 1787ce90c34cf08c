// Files for print: fetched with the secret in a header, which a link cannot carry,
// and opened from the browser's own memory.
import { clearTrouble, el, trouble } from './dom.js';
import { get } from './wire.js';

// pdf makes a link to a file of the job's folder.
export function pdf(path, text) {
  const box = el('span', { class: 'pdf' });
  let last = '';
  const link = el('a', { href: '#', target: '_blank', rel: 'noopener', text, 'data-file': path, onclick: open });
  async function open(e) {
    if (link.getAttribute('href') !== '#') { setTimeout(forget, 0); return; } // it is fetched: the browser opens it
    e.preventDefault();
    clearTrouble(box);
    try {
      const got = await get(path);
      if (last) URL.revokeObjectURL(last);
      last = URL.createObjectURL(got);
      link.setAttribute('href', last);
      link.click();
    } catch (err) { trouble(box, err.words || { what: err.message }); }
  }
  function forget() { link.setAttribute('href', '#'); }
  box.append(link);
  return box;
}
