// Asks the program for news, a few times a second, and tells the page.
let secret = '', page = '', seen = -1, timer = 0, asking = false, again = false;

async function look() {
  clearTimeout(timer);
  if (asking) { again = true; return; }
  asking = true;
  let wait = 250;
  try {
    const r = await fetch(`/news?page=${encodeURIComponent(page)}&seen=${seen}`, {
      headers: { Authorization: 'Bearer ' + secret, 'X-Page': page }, signal: AbortSignal.timeout(4000),
    });
    if (r.ok) {
      const n = await r.json();
      seen = n.version;
      postMessage(n);
      if (n.status.moving || !n.lead) wait = 150;
    } else {
      postMessage({ lost: r.status });
      wait = 1000;
    }
  } catch {
    postMessage({ lost: -1 });
    wait = 500;
  }
  asking = false;
  if (again) { again = false; look(); } else timer = setTimeout(look, wait);
}

onmessage = (e) => {
  if (e.data.page) ({ secret, page } = e.data);
  look();
};
