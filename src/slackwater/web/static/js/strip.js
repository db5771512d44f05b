// The calendar strip: a release dragged or stepped to a later week; the server says which days follow.
import { Latest } from './latest.js';

const strip = document.querySelector('.strip svg');
const form = document.getElementById('move');
const DAY_MS = 86_400_000;
const MARK_PX = 11;
const told = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' });
const brief = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone: 'UTC' });

class Strip {
  constructor() {
    this.then = document.getElementById('then');
    this.week = Number(strip.dataset.week);
    this.releases = [...strip.querySelectorAll('.release')];
    this.x = new Map(this.releases.map((one) => [one.dataset.keys, Number(one.dataset.x)]));
    this.asked = new Latest((what, signal) => this.ask(what, signal), (days, what) => this.took(days, what), { pauseMs: 250 });
    for (const one of this.releases) {
      one.addEventListener('keydown', (event) => this.onKey(event, one));
      one.addEventListener('pointerdown', (event) => this.onDown(event, one));
    }
    form.addEventListener('input', () => { const weeks = this.weeks; if (weeks >= 1) this.show(this.chosen, weeks); });
  }

  get chosen() { return this.releases.find((one) => one.dataset.keys === form.elements.keys.value); }

  get weeks() { return Math.round(Number(form.elements.weeks.value)) || 0; }

  most(release) { return Number(release.getAttribute('aria-valuemax')); }

  /** Put a release off by some weeks, on the strip and in the form; nothing is planned before the button. */
  put(release, weeks) {
    const kept = Math.min(Math.max(weeks, 0), this.most(release));
    form.elements.keys.value = release.dataset.keys;
    form.elements.weeks.value = Math.max(kept, 1);
    this.show(release, kept);
  }

  show(release, weeks) {
    for (const one of this.releases) this.place(one, Number(one.dataset.x), 0, one.dataset.day);
    if (weeks === 0) { this.then.textContent = ''; form.querySelector('button').classList.remove('main'); return; }
    const day = new Date(Date.parse(release.dataset.day) + 7 * weeks * DAY_MS).toISOString().slice(0, 10);
    this.place(release, Number(release.dataset.x) + weeks * this.week, weeks, day);
    form.querySelector('button').classList.add('main');
    this.then.textContent = `${release.dataset.title}: not before ${told.format(new Date(day))} …`;
    this.asked.soon({ keys: release.dataset.keys, weeks });
  }

  place(release, x, weeks, day) {
    this.x.set(release.dataset.keys, x);
    release.setAttribute('transform', `translate(${x.toFixed(1)} ${release.dataset.y})`);
    release.setAttribute('aria-valuenow', weeks);
    release.setAttribute('aria-valuetext', told.format(new Date(day)));
    release.classList.toggle('moved', day !== release.dataset.day);
    release.querySelector('.said').textContent = `${release.dataset.title}, ${brief.format(new Date(day))}`;
    this.arcs();
  }

  arcs() {
    for (const path of strip.querySelectorAll('.before')) {
      const ends = [path.dataset.first, path.dataset.then].map((row) => this.releases[Number(row)]);
      const [[x1, y1], [x2, y2]] = ends.map((one) => [this.x.get(one.dataset.keys), Number(one.dataset.y)]);
      const way = y2 > y1 ? 1 : -1;
      const [from, to] = [y1 + way * MARK_PX, y2 - way * (MARK_PX + 1)];
      const bend = 0.55 * (to - from);
      path.setAttribute('d', `M${x1} ${from} C${x1} ${from + bend} ${x2} ${to - bend} ${x2} ${to} `
        + `M${x2 - 4} ${to - way * 6} L${x2} ${to} L${x2 + 4} ${to - way * 6}`);
    }
  }

  async ask(what, signal) {
    const url = form.getAttribute('action').replace(/move$/, 'dates');
    const reply = await fetch(url, { method: 'POST', signal, body: new URLSearchParams(what) });
    return reply.ok ? reply.json() : null;
  }

  /** Show the days that follow for all; who waits besides is said in words. */
  took(days, what) {
    const chosen = this.releases.find((one) => one.dataset.keys === what.keys);
    if (!days || !this.x.has(what.keys) || chosen.getAttribute('aria-valuenow') !== String(what.weeks)) return;
    const words = [];
    for (const one of this.releases) {
      const day = days[one.dataset.keys];
      const later = Math.round((Date.parse(day) - Date.parse(one.dataset.day)) / DAY_MS);
      this.place(one, Number(one.dataset.x) + (later * this.week) / 7, one === chosen ? what.weeks : 0, day);
      if (later !== 0) words.push(`${one.dataset.title}: ${told.format(new Date(day))}`);
    }
    this.then.textContent = `${words.join('; ')}. Not judged yet: Plan it so does.`;
    document.documentElement.dataset.moved = `${what.keys} ${what.weeks}`;
  }

  onKey(event, release) {
    const now = Number(release.getAttribute('aria-valuenow'));
    const to = { ArrowRight: now + 1, ArrowUp: now + 1, ArrowLeft: now - 1, ArrowDown: now - 1, PageUp: now + 4, PageDown: now - 4, Home: 0, End: this.most(release) }[event.key];
    if (event.key === 'Enter' && now > 0) { form.requestSubmit(); return; }
    if (to === undefined) return;
    event.preventDefault();
    this.put(release, to);
  }

  onDown(event, release) {
    if (event.button !== 0) return;
    event.preventDefault();
    release.focus({ preventScroll: true });
    const from = event.clientX;
    const began = Number(release.getAttribute('aria-valuenow'));
    const scale = strip.getScreenCTM()?.a || 1;
    const move = (next) => {
      const weeks = began + Math.round((next.clientX - from) / scale / this.week);
      if (weeks !== Number(release.getAttribute('aria-valuenow'))) this.put(release, weeks);
    };
    const end = () => {
      for (const [name, act] of [['pointermove', move], ['pointerup', end], ['pointercancel', end]]) release.removeEventListener(name, act);
    };
    release.setPointerCapture(event.pointerId);
    release.addEventListener('pointermove', move);
    release.addEventListener('pointerup', end);
    release.addEventListener('pointercancel', end);
  }
}

if (strip && form) new Strip();
document.documentElement.dataset.ready = 'plan';
