// The page: what the program tells, shown; what a person decides, handed on.
import { clearTrouble, el, setText, trouble } from './dom.js';
import { follow, get, handOver, post } from './wire.js';
import { cloths } from './cloths.js';
import { copyList, doneAndDue, loadUnder, loadsOn } from './kit.js';
import { steps as all, parts } from './steps.js';
import { doubtful } from './doubts.js';
import { frame } from './draw.js';
import { t } from './text.js';

if (handOver()) build();
else document.body.append(el('main', {}, el('h1', { text: t.title }), el('p', { class: 'trouble', text: t.noSecret })));

function build() {
  // bench is what the steps share.
  const bench = {
    job: null, refused: null, lead: false, pending: 0, turn: '', steer: null, port: '', part: { load: 0, copies: '' }, keys: true, step: 'drawing',
    set, now: () => line.now(), fresh, go, inks, offers, alarm, quiet,
    draw: () => latest && show(latest),
    places: (list) => { numbered = list; two.mark(bench.step === 'sides' ? list : []); }, look: (n) => two.choose(n), play: (p) => two.play(p),
    lay: (l) => { laid = l; over(); },
  };
  let latest = null, offered = null, waiting = [], number = -1, lost = 0, numbered = [], laid = null, wasMoving = false;

  const over = () => two.lay(bench.step === 'transfer' && laid || loadsOn(bench.job, loadUnder(latest)));
  const copies = copyList(), due = doneAndDue();
  const two = cloths((n) => { go('sides'); sideStep.pick(n); });
  const steps = all.map((make) => {
    const s = make(bench);
    const more = parts[s.step].map((part) => part(bench));
    s.box.append(...more.map((m) => m.box));
    return { ...s, show: (...args) => { s.show(...args); for (const m of more) m.show(...args); } };
  });
  const sideStep = steps.find((s) => s.step === 'sides'), dry = steps.find((s) => s.step === 'dryrun');
  const atWork = frame(bench);

  const status = el('p', { role: 'status', class: 'status' }), sim = el('span', { class: 'sim', text: t.simulated, hidden: true });
  const watching = el('p', { class: 'watching', text: t.watching, hidden: true });
  const alarms = el('div', { class: 'alarms' });
  const items = steps.map((s, i) => {
    const button = el('button', { type: 'button', text: `${i + 1} ${t.stepNames[i]}`, onclick: () => go(s.step) });
    const brief = el('p');
    return { button, brief, li: el('li', {}, button, brief) };
  });
  const panels = steps.map((s, i) => el('section', { class: 'step', id: `step-${s.step}`, 'aria-labelledby': `title-${s.step}`, hidden: true },
    el('h2', { id: `title-${s.step}`, text: t.stepNames[i], tabindex: '-1' }), s.box,
    i + 1 < steps.length ? el('div', { class: 'row next' }, el('button', { type: 'button', text: t.nextStep(t.stepNames[i + 1]), onclick: () => { go(steps[i + 1].step); document.getElementById(`title-${bench.step}`).focus(); } })) : null));

  document.body.append(
    el('header', {},
      el('a', { class: 'skip', href: '#', text: t.skip, onclick: (e) => { e.preventDefault(); document.getElementById(`title-${bench.step}`).focus(); } }),
      el('h1', { text: t.title }), status, sim),
    due.box,
    el('div', { class: 'table' },
      el('nav', { 'aria-label': t.steps }, el('ol', {}, items.map((i) => i.li))),
      el('main', {}, watching, alarms, two.box, copies.box, panels)), atWork.box);

  go(sessionStorage.getItem('step') || 'drawing', true);
  if (!/machine|drawing/.test(bench.step)) offers(); // a page that is loaded again opens where it was

  function go(step, quietly) {
    if (!t.stepIDs.includes(step)) step = 'drawing';
    bench.step = step;
    sessionStorage.setItem('step', step);
    steps.forEach((s, i) => {
      const here = s.step === step;
      panels[i].hidden = !here;
      if (here) items[i].button.setAttribute('aria-current', 'step'); else items[i].button.removeAttribute('aria-current');
    });
    two.mark(step === 'sides' ? numbered : []);
    over();
    dry.opened(step === 'dryrun', bench.job);
    if (/machine|drawing/.test(step)) offers();
    if (!quietly) bench.draw();
  }

  // set changes settings. What went wrong is said beside what caused it.
  async function set(patch, box) {
    bench.pending++;
    bench.draw();
    try {
      two.load((await post('/settings', patch)).picture);
      clearTrouble(box);
      bench.refused = null;
    } catch (e) {
      if (!e.stale) trouble(box, e.words);
      if (e.words && e.words.loads) bench.refused = { patch, box };
    }
    await fresh();
    bench.pending--;
    bench.draw();
  }

  // fresh asks for news and waits for them.
  function fresh() {
    line.now();
    return new Promise((done) => { waiting.push(done); setTimeout(done, 1000); });
  }

  async function offers() {
    try { offered = await get('/choices'); } catch { return; }
    bench.draw();
  }

  function quiet() { clearTrouble(alarms); }
  function alarm(words) { trouble(alarms, words); }

  function inks() {
    const s = latest && latest.status;
    const drawing = s && s.moving && /draw|resume/.test(s.do);
    const j = bench.job;
    const proved = j && j.kit ? -1 : drawing ? s.proved : j && j.begun.half ? j.begun.drawn : -1;
    two.inks(sideStep.hidden, proved);
  }

  let inkKey = '';
  function show(n) {
    bench.lead = n.lead; bench.turn = n.turn; bench.steer = n.steer;
    watching.hidden = n.lead;
    setText(status, t.says(n.status.word, n.status.text));
    sim.hidden = bench.port !== 'sim' || !bench.job || !bench.job.has_machine;
    for (const [i, s] of steps.entries()) {
      s.show(bench.job, offered, n);
      const wrong = doubtful(bench.job, s.step);
      setText(items[i].brief, wrong ? t.standsAgainst : s.brief(bench.job, n));
      items[i].li.classList.toggle('against', wrong);
      // A page that watches changes nothing: its fields are shown, not used.
      if (s.step !== 'draw' && s.step !== 'marks') for (const f of panels[i].querySelectorAll('input, select, textarea')) {
        if (f.closest('.tick') || f.type === 'range' || s.step === 'dryrun') continue;
        f.disabled = !n.lead;
      }
    }
    copies.show(bench.job, n); due.show(bench.job, n);
    if (bench.job && bench.job.kit) over();
    if (n.status.moving && !wasMoving) two.whole(); // what is drawn now may lie anywhere
    wasMoving = n.status.moving;
    document.body.classList.toggle('steering', !!n.steer);
    atWork.show(n);
    const key = JSON.stringify([n.status.proved, n.status.moving, bench.job && bench.job.begun]);
    if (key !== inkKey) { inkKey = key; inks(); }
    if (n.number !== number) {
      number = n.number;
      clearTrouble(alarms);
      if (n.trouble) alarm(n.trouble);
    }
  }

  const line = follow((n) => {
    if ('lost' in n) {
      if (++lost > 3 && !alarms.firstChild) alarm(n.lost === 401 ? { what: t.strange, do: t.strangeDo } : { what: t.noAnswer, do: t.noAnswerDo });
      return;
    }
    if (lost > 3) clearTrouble(alarms);
    lost = 0;
    if (n.fresh) {
      bench.job = n.job || null;
      two.show(bench.job);
      over();
    }
    latest = n;
    show(n);
    for (const done of waiting.splice(0)) done();
  });
}
