// What a person puts into a tank beside stones: places for food, a divider, an acclimation box.
// Each is moved by pointer, touch or keys in both views; the server says what becomes of everyone.
import { cm, make, pointAt } from './draw.js';

const STEP_CM = 1;
const LONG_STEP_CM = 5;
const SIDE_CM = 15;
const FINGER_PX = 22;
const MOST_STATIONS = 10;
const NEAR_SURFACE = 0.9;

const limit = (value, low, high) => Math.round(10 * Math.min(Math.max(value, low), Math.max(low, high))) / 10;

/** A thing moved by so much, no farther than it can be. */
export function moved(kind, thing, [dx, dy, dz], glass) {
  if (kind === 'divider') return { ...thing, at: limit(thing.at + dx, SIDE_CM, glass.length - SIDE_CM) };
  const [length, width, height] = [thing.length ?? 0, thing.width ?? 0, thing.height ?? 0];
  return {
    ...thing,
    x: limit(thing.x + dx, length / 2, glass.length - length / 2),
    y: limit(thing.y + dy, width / 2, glass.width - width / 2),
    base: limit(thing.base + dz, 0, glass.height - height),
  };
}

/** The things without one, or with it changed; `id` is `divider`, `box` or `station 1`. */
export function changed(things, id, thing) {
  const [kind, number] = id.split(' ');
  if (kind !== 'station') return { ...things, [kind]: thing };
  const at = number - 1;
  return { ...things, stations: thing ? things.stations.with(at, thing) : things.stations.toSpliced(at, 1) };
}

export const found = (things, id) => (id?.startsWith('station') ? things.stations[id.split(' ')[1] - 1] : things[id]) ?? null;

/** A thing in words, for those who listen and those who read. */
export function told(id, thing) {
  if (id === 'divider') return `Divider, ${thing.sheet}, ${cm(thing.at)} cm from left`;
  const place = `${cm(thing.x)} cm from left, ${cm(thing.y)} cm from front, ${cm(thing.base)} cm up`;
  if (id === 'box') return `Acclimation box, ${cm(thing.length)} by ${cm(thing.width)} by ${cm(thing.height)} cm, its foot ${place}`;
  return `Food, place ${id.split(' ')[1]}, ${place}`;
}

export class Furniture {
  #chosen = null;
  #drawn = new Map();

  // `views` are { above: svg, front: svg }, each with an empty <g data-layer="things">.
  constructor(views, rock, { onChoose = () => {}, say = () => {}, boxed = '', boxSize = [20, 12, 12] } = {}) {
    Object.assign(this, { views, rock, onChoose, say, boxed, boxSize });
    rock.addEventListener('change', () => this.draw());
    this.draw();
  }

  get chosen() { return this.#chosen; }

  get ids() {
    const { stations, divider, box } = this.rock.things;
    return [...stations.map((_, n) => `station ${n + 1}`), ...(divider ? ['divider'] : []), ...(box ? ['box'] : [])];
  }

  choose(id) {
    this.#chosen = id;
    for (const [key, group] of this.#drawn) group.classList.toggle('chosen', id !== null && key.endsWith(`:${id}`));
    if (id !== null) this.onChoose(id);
  }

  change(id, thing, gesture = null) { this.rock.put({ things: changed(this.rock.things, id, thing) }, gesture); }

  remove(id) {
    this.change(id, null);
    this.say(`${id === 'divider' ? 'Divider' : id === 'box' ? 'Box' : 'Place for food'} taken out`);
  }

  /** Put one more in, in the middle or where it usually is, and return which it is. */
  add(kind, right = []) {
    const { things, glass } = this.rock;
    if (kind === 'station') {
      if (things.stations.length >= MOST_STATIONS) return null;
      const place = { x: glass.length / 2, y: 0.3 * glass.width, base: NEAR_SURFACE * glass.height };
      this.rock.put({ things: { ...things, stations: [...things.stations, moved('station', place, [0, 0, 0], glass)] } });
      return `station ${things.stations.length + 1}`;
    }
    const [length, width, height] = this.boxSize.map((side, n) => Math.min(side, [glass.length, glass.width, glass.height][n]));
    const sheet = kind === 'clear' ? 'clear' : 'opaque';
    const made = kind === 'box'
      ? moved('box', { x: length / 2, y: width / 2, base: glass.height, length, width, height }, [0, 0, 0], glass)
      : { at: things.divider?.at ?? limit(glass.length / 2, SIDE_CM, glass.length - SIDE_CM), sheet, right: things.divider?.right ?? right };
    const id = kind === 'box' ? 'box' : 'divider';
    this.change(id, made);
    return id;
  }

  draw() {
    const kept = new Set();
    for (const [view, svg] of Object.entries(this.views)) {
      const layer = svg.querySelector('[data-layer="things"]');
      for (const id of this.ids) {
        const key = `${view}:${id}`;
        kept.add(key);
        this.#place(key, view, id, layer);
      }
    }
    for (const [key, group] of this.#drawn) {
      if (kept.has(key)) continue;
      group.remove();
      this.#drawn.delete(key);
    }
    if (this.#chosen && !found(this.rock.things, this.#chosen)) { this.choose(null); this.onChoose(null); }
  }

  #place(key, view, id, layer) {
    const thing = found(this.rock.things, id);
    let group = this.#drawn.get(key);
    if (!group) {
      group = this.#made(view, id);
      this.#drawn.set(key, group);
      layer.append(group);
    }
    group.replaceChildren(...this.#shape(view, id, thing));
    group.setAttribute('aria-label', told(id, thing));
  }

  #made(view, id) {
    const group = make('g', { class: `thing ${id.split(' ')[0]}`, 'data-thing': id, tabindex: '0', role: 'button' });
    group.addEventListener('focus', () => this.choose(id));
    group.addEventListener('keydown', (event) => this.#onKey(event, view, id));
    group.addEventListener('pointerdown', (event) => this.#onDown(event, view, id));
    return group;
  }

  // A finger's width however large the tank is drawn; the divider is taken by a grip at its end.
  #shape(view, id, thing) {
    const { glass } = this.rock;
    const high = view === 'above' ? glass.width : glass.height;
    const finger = FINGER_PX / (this.views[view].getScreenCTM()?.a || 4);
    const grip = (x, y) => make('circle', { class: 'finger', cx: cm(x), cy: cm(y), r: cm(finger) });
    if (id === 'divider') {
      const ends = { x1: cm(thing.at), x2: cm(thing.at), y1: 0, y2: high };
      const knob = make('circle', { class: 'knob', cx: cm(thing.at), cy: cm(finger / 2), r: cm(finger / 3) });
      return [make('line', { class: 'finger', ...ends }), make('line', { class: `sheet ${thing.sheet}`, ...ends }), knob, grip(thing.at, finger / 2)];
    }
    const foot = high - (view === 'above' ? thing.y : thing.base);
    if (id === 'box') {
      const [wide, tall] = [thing.length, view === 'above' ? thing.width : thing.height];
      const top = view === 'above' ? foot - tall / 2 : foot - tall;
      const label = make('text', { x: cm(thing.x), y: cm(top + tall / 2) }, this.boxed);
      return [make('rect', { class: 'pane', x: cm(thing.x - wide / 2), y: cm(top), width: cm(wide), height: cm(tall) }), label, grip(thing.x, top + tall / 2)];
    }
    const size = Math.max(2, finger / 3);
    return [make('path', { class: 'food', d: `M${cm(thing.x)} ${cm(foot - size)} l${cm(size)} ${cm(size)} l${cm(-size)} ${cm(size)} l${cm(-size)} ${cm(-size)} Z` }), grip(thing.x, foot)];
  }

  #onDown(event, view, id) {
    if (event.button !== 0) return;
    const svg = this.views[view];
    const from = pointAt(svg, event);
    const thing = found(this.rock.things, id);
    if (!from || !thing) return;
    event.preventDefault();
    this.#drawn.get(`${view}:${id}`).focus({ preventScroll: true });
    this.choose(id);
    const gesture = {};
    const move = (next) => {
      const to = pointAt(svg, next);
      if (!to) return;
      const up = from.y - to.y;
      this.change(id, moved(id.split(' ')[0], thing, [to.x - from.x, view === 'above' ? up : 0, view === 'above' ? 0 : up], this.rock.glass), gesture);
    };
    const end = () => {
      svg.removeEventListener('pointermove', move);
      svg.removeEventListener('pointerup', end);
      svg.removeEventListener('pointercancel', end);
      this.rock.endGesture();
      this.say(told(id, found(this.rock.things, id) ?? thing));
    };
    svg.setPointerCapture(event.pointerId);
    svg.addEventListener('pointermove', move);
    svg.addEventListener('pointerup', end);
    svg.addEventListener('pointercancel', end);
  }

  #onKey(event, view, id) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const step = event.shiftKey ? LONG_STEP_CM : STEP_CM;
    const up = view === 'above' ? [0, step, 0] : [0, 0, step];
    const steps = {
      ArrowLeft: [-step, 0, 0], ArrowRight: [step, 0, 0], ArrowUp: up, ArrowDown: up.map((one) => -one), PageUp: [0, 0, step], PageDown: [0, 0, -step],
    };
    const thing = found(this.rock.things, id);
    const larger = { '+': STEP_CM, '=': STEP_CM, '-': -STEP_CM }[event.key];
    if (event.key === 'Delete' || event.key === 'Backspace') this.remove(id);
    else if (steps[event.key]) this.change(id, moved(id.split(' ')[0], thing, steps[event.key], this.rock.glass));
    else if (larger && id === 'box') this.change(id, this.#sized(thing, larger));
    else return;
    event.preventDefault();
    const now = found(this.rock.things, id);
    if (now && event.key !== 'Delete' && event.key !== 'Backspace') this.say(told(id, now));
  }

  // A box longer by so much, its other sides in the same proportion.
  #sized(box, by) {
    const { glass } = this.rock;
    const length = limit(box.length + by, 6, glass.length);
    const [width, height] = [[box.width, glass.width], [box.height, glass.height]].map(([side, most]) => limit((side * length) / box.length, 4, most));
    return moved('box', { ...box, length, width, height }, [0, 0, 0], glass);
  }
}
