// A day of the walkers, drawn over the tank: positions are sent once and drawn between their moments.
import { make } from './draw.js';

const CHASE_S = 2;
const FRAMES_KEPT = 240;

export function readDay(buffer) {
  const size = new DataView(buffer).getUint32(0);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, size)));
  return { ...head, track: new Uint16Array(buffer, 4 + size) };
}

/** Where everyone is at a time between two moments, as [x, y, z] in cm for each column. */
export function placesAt(day, seconds) {
  const last = day.moments - 1;
  const at = Math.min(Math.max(seconds / day.every, 0), last);
  const [before, count] = [Math.min(Math.floor(at), last - 1), day.keys.length];
  const share = at - before;
  return day.keys.map((_, n) => [0, 1, 2].map((axis) => {
    const here = day.track[(before * count + n) * 3 + axis];
    const there = day.track[((before + 1) * count + n) * 3 + axis];
    return (here + share * (there - here)) / 10;
  }));
}

export class DayShow {
  #frame = 0;
  #then = 0;
  #playing = false;
  #times = [];

  /** `views` are the two drawings, `glass` their size; `onMoment` hears seconds and whether it plays. */
  constructor(day, views, glass, onMoment) {
    this.day = day;
    this.views = views;
    this.glass = glass;
    this.onMoment = onMoment;
    this.pace = 300;
    this.follow = '';
    this.seconds = 0;
    this.nth = day.keys.map((key, n) => day.keys.slice(0, n).filter((other) => other === key).length);
    this.drawn = Object.fromEntries(Object.entries(views).map(([view, svg]) => [view, this.#found(svg)]));
    this.lines = Object.fromEntries(Object.entries(views).map(([view, svg]) => {
      const layer = make('g', { 'data-layer': 'chases', 'aria-hidden': 'true' });
      svg.append(layer);
      return [view, layer];
    }));
  }

  get isPlaying() { return this.#playing; }
  get length() { return (this.day.moments - 1) * this.day.every; }

  /** Frames a second over the last few seconds. */
  get rate() {
    const [first, last] = [this.#times[0], this.#times.at(-1)];
    return this.#times.length > 1 ? (1000 * (this.#times.length - 1)) / (last - first) : 0;
  }

  play() {
    if (this.seconds >= this.length) this.seconds = 0;
    this.#playing = true;
    this.#then = 0;
    this.#times = [];
    this.#frame = requestAnimationFrame((now) => this.#tick(now));
    this.onMoment(this);
  }

  pause() {
    this.#playing = false;
    cancelAnimationFrame(this.#frame);
    this.onMoment(this);
  }

  show(seconds) {
    this.seconds = seconds;
    this.#draw();
    this.onMoment(this);
  }

  close() {
    this.pause();
    for (const layer of Object.values(this.lines)) layer.remove();
    for (const animal of Object.values(this.drawn).flat()) {
      animal?.classList.remove('aside');
      animal?.querySelector('text')?.removeAttribute('transform');
    }
  }

  #found(svg) {
    return this.day.keys.map((key, n) =>
      svg.querySelector(`.swimmer[data-key="${CSS.escape(key)}"][data-nth="${this.nth[n]}"]`));
  }

  #tick(now) {
    if (!this.#playing) return;
    if (this.#then) this.seconds += (this.pace * (now - this.#then)) / 1000;
    this.#then = now;
    this.#times = [...this.#times.slice(-FRAMES_KEPT), now];
    this.#draw();
    if (this.seconds >= this.length) { this.pause(); return; }
    this.onMoment(this);
    this.#frame = requestAnimationFrame((next) => this.#tick(next));
  }

  #draw() {
    const places = placesAt(this.day, this.seconds);
    const before = placesAt(this.day, this.seconds - 10);
    for (const [view, animals] of Object.entries(this.drawn)) {
      animals.forEach((animal, n) => {
        if (!animal) return;
        const [x, y] = this.#on(view, places[n]);
        const scale = this.scale(animal);
        const faces = places[n][0] > before[n][0] + 0.05 ? -1 : 1;
        animal.setAttribute('transform', `translate(${x.toFixed(2)} ${y.toFixed(2)}) scale(${faces * scale} ${scale})`);
        const number = animal.querySelector('text');
        if (number) number.setAttribute('transform', `scale(${faces} 1)`);
        animal.classList.toggle('aside', this.follow !== '' && this.day.keys[n] !== this.follow);
      });
      this.lines[view].replaceChildren(...this.#chases(view, places));
    }
  }

  #chases(view, places) {
    const shown = Math.max(CHASE_S * this.pace, 60);
    const recent = this.day.chases.filter(([at]) => at <= this.seconds && at > this.seconds - shown);
    return recent
      .filter(([, i, j]) => this.follow === '' || [this.day.keys[i], this.day.keys[j]].includes(this.follow))
      .map(([, i, j]) => {
        const [x1, y1] = this.#on(view, places[i]);
        const [x2, y2] = this.#on(view, places[j]);
        return make('line', { class: 'chase', x1: x1.toFixed(1), y1: y1.toFixed(1), x2: x2.toFixed(1), y2: y2.toFixed(1) });
      });
  }

  #on(view, [x, y, z]) {
    return view === 'above' ? [x, this.glass.width - y] : [x, this.glass.height - z];
  }
}
