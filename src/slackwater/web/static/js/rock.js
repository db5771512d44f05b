// The stones and things of a tank as they stand now, with every step undone and done again.
// A stone is { id, form, x, y, base, length, width, height, turn, tilt, ... } in cm and degrees,
// x and y its middle from the left and from the front glass, base its foot above the floor.
// Things are { stations, divider, box } as furniture.js draws them.

export const FORMS = ['boulder', 'slab', 'pillar', 'arch', 'shelf', 'pipe', 'rubble', 'branching coral'];
const BOXES = new Set(['slab', 'pillar', 'arch', 'shelf', 'pipe', 'sand bed']);
const LEAST_CM = 2;
const MOST_STEPS = 200;

export const isBox = (stone) => BOXES.has(stone.form);

// Half the room a stone takes along the tank's x and y, turned as it is. [cm]
export function spans(stone) {
  const turn = (stone.turn * Math.PI) / 180;
  const [c, s] = [Math.abs(Math.cos(turn)), Math.abs(Math.sin(turn))];
  const [a, b] = [stone.length / 2, stone.width / 2];
  return isBox(stone) ? [c * a + s * b, s * a + c * b] : [Math.hypot(c * a, s * b), Math.hypot(s * a, c * b)];
}

// The same stone inside the glass: moved no farther than it can be, made no larger than fits.
export function within(stone, glass) {
  const limit = (value, low, high) => Math.min(Math.max(value, low), Math.max(low, high));
  const height = limit(stone.height, LEAST_CM, glass.height);
  const sized = {
    ...stone,
    height,
    length: limit(stone.length, LEAST_CM, glass.length),
    width: limit(stone.width, LEAST_CM, glass.width),
  };
  const [alongX, alongY] = spans(sized);
  return {
    ...sized,
    x: limit(stone.x, Math.min(alongX, glass.length / 2), glass.length - alongX),
    y: limit(stone.y, Math.min(alongY, glass.width / 2), glass.width - alongY),
    base: limit(stone.base, 0, glass.height - height),
    turn: ((Math.round(stone.turn) % 360) + 360) % 360,
  };
}

export class Rock extends EventTarget {
  #past = [];
  #future = [];
  #gesture = null;

  constructor(stones, glass, things = { stations: [], divider: null, box: null }) {
    super();
    this.glass = glass;
    this.stones = stones;
    this.things = things;
    this.saved = stones;
  }

  get canUndo() { return this.#past.length > 0; }
  get canRedo() { return this.#future.length > 0; }
  get isChanged() { return this.stones !== this.saved; }

  find(id) { return this.stones.find((stone) => stone.id === id); }

  // Puts other stones in place. Changes of one gesture (a drag, a held key) are one step of undo.
  set(stones, gesture = null) { this.put({ stones }, gesture); }

  // Puts other stones or other things in place, `{ stones, things }`, what is left out as it was.
  put(what, gesture = null) {
    const goesOn = gesture !== null && gesture === this.#gesture;
    if (!goesOn) {
      this.#past = [...this.#past, this.#now].slice(-MOST_STEPS);
      this.#future = [];
    }
    this.#gesture = gesture;
    this.#show(what);
  }

  get #now() { return { stones: this.stones, things: this.things }; }

  change(id, how, gesture = null) {
    const changed = (stone) => within({ ...stone, ...how(stone) }, this.glass);
    this.set(this.stones.map((stone) => (stone.id === id ? changed(stone) : stone)), gesture);
  }

  add(form, size = null) {
    const next = 1 + Math.max(0, ...this.stones.map((stone) => stone.id));
    const large = Math.min(this.glass.length, this.glass.width, this.glass.height) / 4;
    const [length, width, height] = size ?? [large * 1.4, large, large];
    const stone = {
      id: next, form, length, width, height, base: 0, turn: 0, tilt: 0,
      x: this.glass.length / 2, y: this.glass.width / 2,
    };
    this.set([...this.stones, within(stone, this.glass)]);
    return next;
  }

  remove(id) { this.set(this.stones.filter((stone) => stone.id !== id)); }

  endGesture() { this.#gesture = null; }

  undo() { this.#step(this.#past, this.#future); }

  redo() { this.#step(this.#future, this.#past); }

  markSaved() {
    this.saved = this.stones;
    this.dispatchEvent(new Event('change'));
  }

  #step(from, to) {
    if (from.length === 0) return;
    to.push(this.#now);
    this.#gesture = null;
    this.#show(from.pop());
  }

  #show(what) {
    Object.assign(this, what);
    this.dispatchEvent(new Event('change'));
  }
}
