// The line to the program. Every request carries the secret of this run, which
// this tab alone holds, and says which page asks.
import { t } from './text.js';

const store = sessionStorage;

// handOver takes the secret out of the address and keeps it in the tab.
export function handOver() {
  const said = location.hash.slice(1);
  if (said) {
    store.setItem('secret', said);
    history.replaceState(null, '', location.pathname);
  }
  addEventListener('hashchange', () => {
    if (location.hash.length > 1) { handOver(); location.reload(); }
  });
  return store.getItem('secret') || '';
}

// A tab keeps its name over a reload, and gives it away to no duplicate: while
// the page lives the name is not in the store.
export const page = store.getItem('page') || crypto.randomUUID();
store.removeItem('page');
addEventListener('pagehide', () => {
  store.setItem('page', page);
  fetch('/bye', { method: 'POST', keepalive: true, headers: headers() }).catch(() => {});
});

function headers(more) {
  return { Authorization: 'Bearer ' + (store.getItem('secret') || ''), 'X-Page': page, ...more };
}

// Trouble is an error with the words of the program.
export class Trouble extends Error {
  constructor(status, words) { super(words.what); this.status = status; this.words = words; }
  // stale tells that something newer was asked for, or this was asked for before.
  get stale() { return this.status === 409; }
}

async function ask(path, init) {
  let r;
  try { r = await fetch(path, init); } catch { throw new Trouble(0, { what: t.noAnswer, do: t.noAnswerDo }); }
  if (r.status === 401) throw new Trouble(401, { what: t.strange, do: t.strangeDo });
  const kind = r.headers.get('Content-Type') || '';
  if (!r.ok) {
    const words = kind.startsWith('application/json') ? (await r.json()).error : { what: await r.text(), do: '' };
    throw new Trouble(r.status, words);
  }
  return kind.startsWith('application/json') ? r.json() : r.blob();
}

export const get = (path) => ask(path, { headers: headers() });
export const post = (path, body) => ask(path, { method: 'POST', headers: headers({ 'Content-Type': 'application/json' }), body: JSON.stringify(body || {}) });
export const send = (path, data) => ask(path, { method: 'POST', headers: headers({ 'Content-Type': 'application/octet-stream' }), body: data });

// follow asks for news until the page goes, from a worker: a browser slows the
// timers of pages in the background, and the page that leads must be heard.
export function follow(tell) {
  const w = new Worker('/page/news.js', { type: 'module', name: 'news' });
  w.onmessage = (e) => tell(e.data);
  w.postMessage({ secret: store.getItem('secret'), page });
  return { now: () => w.postMessage({ now: true }) };
}
