// Hears from the program what is new, and tells the page. The page that leads
// holds one stream, so that the program knows at once when it is gone; the others
// ask a few times a second, so that a browser's few connections are not used up.
let secret = '', page = '', seen = -1, timer = 0, asking = false, again = false, streaming = false;

const headers = () => ({ Authorization: 'Bearer ' + secret, 'X-Page': page });

function told(n) {
  seen = n.version;
  postMessage(n);
}

async function look() {
  clearTimeout(timer);
  if (asking) { again = true; return; }
  asking = true;
  let wait = 120;
  try {
    const r = await fetch(`/news?page=${encodeURIComponent(page)}&seen=${seen}`, { headers: headers(), signal: AbortSignal.timeout(4000) });
    if (r.ok) {
      const n = await r.json();
      told(n);
      if (n.lead) stream();
    } else {
      postMessage({ lost: r.status });
      wait = 1000;
    }
  } catch {
    postMessage({ lost: -1 });
    wait = 500;
  }
  asking = false;
  if (again) { again = false; look(); } else if (!streaming) timer = setTimeout(look, wait);
}

// stream hears until this page leads no more, or the program ends.
async function stream() {
  if (streaming) return;
  streaming = true;
  const stop = new AbortController();
  let silent = 0;
  const heard = () => { clearTimeout(silent); silent = setTimeout(() => stop.abort(), 4000); };
  try {
    heard();
    const r = await fetch(`/stream?page=${encodeURIComponent(page)}`, { headers: headers(), signal: stop.signal });
    if (r.ok) {
      const reader = r.body.pipeThrough(new TextDecoderStream()).getReader();
      for (let text = ''; ;) {
        const { value, done } = await reader.read();
        if (done) break;
        heard();
        text += value;
        const lines = text.split('\n');
        text = lines.pop();
        for (const l of lines) told(JSON.parse(l));
      }
    }
  } catch { /* what has become of the program is asked for now */ }
  clearTimeout(silent);
  streaming = false;
  clearTimeout(timer);
  timer = setTimeout(look, 50);
}

onmessage = (e) => {
  if (e.data.page) ({ secret, page } = e.data);
  look();
};
