// A tank in two views to scale: from above with the front glass at the bottom edge, and from the front.
// Both show the same stones; a stone is moved, turned and sized by pointer, touch or keys in either.

import { cm, make, pointAt } from './draw.js';
import { isBox, spans } from './rock.js';

const STEP_CM = 1;
const LONG_STEP_CM = 5;
const TURN_DEG = 15;
const SIZES = [['length', 'x'], ['width', 'y'], ['height', 'z']];

export class Stage {
  #drawn = new Map();
  #chosen = null;

  // `views` are { above: svg, front: svg }, each with an empty <g data-layer="stones">.
  constructor(views, rock, { onChoose = () => {}, readOnly = false, say = () => {} } = {}) {
    this.views = views;
    this.rock = rock;
    this.onChoose = onChoose;
    this.readOnly = readOnly;
    this.say = say;
    rock.addEventListener('change', () => this.draw());
    this.draw();
  }

  get chosen() { return this.#chosen; }

  choose(id) {
    this.#chosen = id;
    for (const [key, group] of this.#drawn) group.classList.toggle('chosen', key.endsWith(`:${id}`));
    this.onChoose(id);
  }

  draw() {
    const kept = new Set();
    for (const [view, svg] of Object.entries(this.views)) {
      const layer = svg.querySelector('[data-layer="stones"]');
      for (const stone of this.#inOrder(view)) {
        const key = `${view}:${stone.id}`;
        kept.add(key);
        this.#place(key, view, stone, layer);
      }
    }
    for (const [key, group] of this.#drawn) {
      if (kept.has(key)) continue;
      group.remove();
      this.#drawn.delete(key);
    }
    if (this.#chosen !== null && !this.rock.find(this.#chosen)) this.choose(null);
  }

  // From above the highest is drawn last, from the front the nearest.
  #inOrder(view) {
    const top = (stone) => stone.base + stone.height;
    const rank = view === 'above' ? (a, b) => top(a) - top(b) : (a, b) => b.y - a.y;
    return [...this.rock.stones].sort((a, b) => rank(a, b) || a.id - b.id);
  }

  #place(key, view, stone, layer) {
    let group = this.#drawn.get(key);
    if (!group) {
      group = this.#made(view, stone.id);
      this.#drawn.set(key, group);
    }
    const shape = shapeOf(view, stone, this.rock.glass);
    group.replaceChildren(...shape, ...(this.readOnly ? [] : this.#handles(view, stone)));
    group.setAttribute('aria-label', this.#label(stone));
    const focused = document.activeElement === group;
    if (layer.lastElementChild !== group) layer.append(group);
    if (focused) group.focus({ preventScroll: true });
  }

  #label(stone) {
    const number = this.rock.stones.findIndex((other) => other.id === stone.id) + 1;
    const place = `${cm(stone.x)} cm from left, ${cm(stone.y)} cm from front, foot at ${cm(stone.base)} cm`;
    const size = `${cm(stone.length)} by ${cm(stone.width)} by ${cm(stone.height)} cm`;
    return `Stone ${number}, ${stone.form}, ${place}, ${size}, turned ${stone.turn} degrees`;
  }

  #made(view, id) {
    const group = make('g', { class: 'stone', 'data-stone': id });
    if (this.readOnly) return group;
    group.setAttribute('tabindex', '0');
    group.setAttribute('role', 'button');
    group.addEventListener('focus', () => this.choose(id));
    group.addEventListener('keydown', (event) => this.#onKey(event, view, id));
    group.addEventListener('pointerdown', (event) => this.#onDown(event, view, id));
    return group;
  }

  #handles(view, stone) {
    if (stone.id !== this.#chosen) return [];
    return handlesOf(view, stone, this.rock.glass).map(({ does, x, y }) =>
      make('circle', { class: 'handle', 'data-does': does, cx: cm(x), cy: cm(y), r: this.#handleCm(view) }));
  }

  // A handle is 11 px across its radius however large the tank is drawn.
  #handleCm(view) {
    const matrix = this.views[view].getScreenCTM();
    return cm(Math.min(11 / (matrix?.a || 4), this.rock.glass.height / 8));
  }

  #onDown(event, view, id) {
    if (event.button !== 0) return;
    const svg = this.views[view];
    const from = pointAt(svg, event);
    const stone = this.rock.find(id);
    if (!from || !stone) return;
    event.preventDefault();
    const does = event.target.dataset?.does ?? 'move';
    const group = this.#drawn.get(`${view}:${id}`);
    group.focus({ preventScroll: true });
    this.choose(id);
    this.draw();
    const gesture = {};
    const move = (next) => {
      const to = pointAt(svg, next);
      if (to) this.rock.change(id, () => dragged(does, view, stone, from, to, this.rock.glass), gesture);
    };
    const end = () => {
      svg.removeEventListener('pointermove', move);
      svg.removeEventListener('pointerup', end);
      svg.removeEventListener('pointercancel', end);
      this.rock.endGesture();
      this.rock.dispatchEvent(new Event('rest'));
      this.say(this.#label(this.rock.find(id) ?? stone));
    };
    svg.setPointerCapture(event.pointerId);
    svg.addEventListener('pointermove', move);
    svg.addEventListener('pointerup', end);
    svg.addEventListener('pointercancel', end);
  }

  #onKey(event, view, id) {
    const how = keyed(event, view);
    if (how === 'remove') this.rock.remove(id);
    else if (how) this.rock.change(id, how);
    else return;
    event.preventDefault();
    this.rock.dispatchEvent(new Event('rest'));
    const stone = this.rock.find(id);
    this.say(stone ? this.#label(stone) : 'Stone removed');
  }
}

// What a key does to a stone; null if nothing.
function keyed(event, view) {
  if (event.ctrlKey || event.metaKey || event.altKey) return null;
  const step = event.shiftKey ? LONG_STEP_CM : STEP_CM;
  const up = view === 'above' ? 'y' : 'base';
  const scaled = (factor) => (s) => ({ length: s.length * factor, width: s.width * factor, height: s.height * factor });
  const keys = {
    ArrowLeft: (s) => ({ x: s.x - step }),
    ArrowRight: (s) => ({ x: s.x + step }),
    ArrowUp: (s) => ({ [up]: s[up] + step }),
    ArrowDown: (s) => ({ [up]: s[up] - step }),
    PageUp: (s) => ({ base: s.base + step }),
    PageDown: (s) => ({ base: s.base - step }),
    '+': scaled(1.1),
    '=': scaled(1.1),
    '-': scaled(1 / 1.1),
    r: (s) => ({ turn: s.turn + TURN_DEG }),
    R: (s) => ({ turn: s.turn - TURN_DEG }),
    Delete: 'remove',
    Backspace: 'remove',
  };
  return keys[event.key] ?? null;
}

// What a drag from one point to another makes of a stone.
function dragged(does, view, stone, from, to, glass) {
  const [dx, dy] = [to.x - from.x, from.y - to.y];
  if (does === 'turn') {
    const middle = { x: stone.x, y: glass.width - stone.y };
    const angle = Math.atan2(middle.y - to.y, to.x - middle.x);
    return { turn: (angle * 180) / Math.PI };
  }
  if (does === 'size') return sized(view, stone, dx, dy);
  return view === 'above' ? { x: stone.x + dx, y: stone.y + dy } : { x: stone.x + dx, base: stone.base + dy };
}

// Sizing from above changes length and width along the stone's own axes, from the front its height.
function sized(view, stone, dx, dy) {
  if (view === 'front') return { height: stone.height + dy };
  const turn = (stone.turn * Math.PI) / 180;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return { length: stone.length + 2 * (c * dx + s * dy), width: stone.width + 2 * (s * dx - c * dy) };
}

function handlesOf(view, stone, glass) {
  if (view === 'front') {
    return [{ does: 'size', x: stone.x, y: glass.height - stone.base - stone.height }];
  }
  const turn = (stone.turn * Math.PI) / 180;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const at = (along, across) => ({
    x: stone.x + c * along - s * across,
    y: glass.width - (stone.y + s * along + c * across),
  });
  return [
    { does: 'turn', ...at(stone.length / 2, 0) },
    { does: 'size', ...at(stone.length / 2, -stone.width / 2) },
  ];
}

// The outline of a stone in one view, with the opening of an arch or pipe.
function shapeOf(view, stone, glass) {
  if (view === 'above') {
    const turned = `rotate(${-stone.turn} ${cm(stone.x)} ${cm(glass.width - stone.y)})`;
    return [body(stone, stone.x, glass.width - stone.y, stone.length / 2, stone.width / 2, turned)];
  }
  const [across] = spans(stone);
  const middle = glass.height - stone.base - stone.height / 2;
  const drawn = [body(stone, stone.x, middle, across, stone.height / 2)];
  if (stone.form === 'arch') {
    const [wide, high] = [across * 1.0, stone.height * 0.7];
    drawn.push(make('rect', {
      class: 'opening', x: cm(stone.x - wide / 2), y: cm(glass.height - stone.base - high), width: cm(wide), height: cm(high),
    }));
  }
  if (stone.form === 'pipe') {
    drawn.push(make('ellipse', {
      class: 'opening', cx: cm(stone.x), cy: cm(middle), rx: cm(stone.height * 0.35), ry: cm(stone.height * 0.35),
    }));
  }
  return drawn;
}

function body(stone, x, y, halfX, halfY, transform = '') {
  const turned = transform ? { transform } : {};
  if (isBox(stone)) {
    return make('rect', {
      class: 'rock', x: cm(x - halfX), y: cm(y - halfY), width: cm(2 * halfX), height: cm(2 * halfY), rx: 0.8, ...turned,
    });
  }
  return make('ellipse', { class: 'rock', cx: cm(x), cy: cm(y), rx: cm(halfX), ry: cm(halfY), ...turned });
}

export { SIZES, keyed, dragged, shapeOf };
