// The tank page: stones are moved here, and the server says what becomes of everyone while they are.
import { Rock } from './rock.js';
import { Furniture, found, told as toldThing } from './furniture.js';
import { Stage } from './stage.js';
import { Wire } from './wire.js';
import { hueOf, paint, readFrame } from './pressure.js';
import { make } from './draw.js';
import { LooseRock, SavedRock } from './rock-keeping.js';

const REST_MS = 220;
const RULER_CM = [20, 50, 100];
const RULER_PX = 28;
const NUMBER_PX = 22;
const HIGHEST_STEP = 5;
const STEPS = [0.1, 0.3, 1, 3, 10];

const root = document.documentElement;
const by = (id) => document.getElementById(id);
const boot = JSON.parse(by('boot').textContent);
const figures = Object.fromEntries([...document.querySelectorAll('.tank-figure')].map((f) => [f.dataset.view, f]));
const views = Object.fromEntries(Object.entries(figures).map(([name, figure]) => [name, figure.querySelector('svg')]));
const rock = new Rock(boot.stones, boot.glass, boot.things);
const keeper = boot.number ? new SavedRock(boot, rock) : new LooseRock(boot, rock);
const say = (words) => { by('spoken').textContent = words; };
const stage = new Stage(views, rock, { onChoose: chosen, say });
const furniture = new Furniture(views, rock, { onChoose: chosenThing, say, boxed: boot.boxed.map(([, number]) => number).join(' '), boxSize: boot.box_size });
const asked = { whose: '', size: 'today' };
let hue = hueOf(document.body);
let first = null;
let resting = 0;
let last = null;

let show = null;

const wire = new Wire('/tank/wire', { hello: boot.tank, onAnswer: answered, onState: told });

function ask(at_rest) {
  wire.ask({ stones: rock.stones, things: rock.things, ...asked, at_rest });
}

/** Ask coarsely at once, and finely when all has come to rest. */
function changed() {
  by('undo').disabled = !rock.canUndo;
  by('redo').disabled = !rock.canRedo;
  keeper.changed();
  ask(false);
  clearTimeout(resting);
  resting = setTimeout(() => ask(true), REST_MS);
}

function answered(data) {
  const frame = readFrame(data);
  last = frame;
  for (const view of ['above', 'front']) {
    const canvas = figures[view].querySelector('canvas');
    const [wide, high] = [boot.glass.length, view === 'above' ? boot.glass.width : boot.glass.height];
    // Squares at the right, back and top edges reach beyond the glass: the canvas does so with them.
    canvas.style.width = `${(100 * frame[view].columns * frame.edge) / wide}%`;
    canvas.style.height = `${(100 * frame[view].rows * frame.edge) / high}%`;
    paint(canvas, frame[view], hue);
    lines(view, frame.contours[view] ?? {});
    holes(view, frame.holes);
  }
  numbers(frame.rows);
  besides(frame);
  swim(frame.rows);
  root.dataset.frames = String(Number(root.dataset.frames ?? 0) + 1);
  root.dataset.fine = String(frame.edge);
  root.dataset.ready = 'tank';
}

function lines(view, contours) {
  const layer = views[view].querySelector('[data-layer="contours"]');
  const paths = Object.entries(contours).map(([level, d]) => {
    const path = make('path', { d, class: 'contour' });
    path.append(make('title', {}, `${level} attacks an hour`));
    return path;
  });
  layer.replaceChildren(...paths);
}

/** Holes as rings of their own width: where an animal can shelter among the stones as they lie. */
function holes(view, found) {
  const layer = views[view].querySelector('[data-layer="holes"]');
  layer.replaceChildren(...found.map(([x, y, z, width]) => make('circle', {
    class: 'hole', cx: x, cy: view === 'above' ? boot.glass.width - y : boot.glass.height - z, r: Math.max(width / 2, 0.6),
  })));
}

function numbers(rows) {
  first ??= new Map(rows.map((row) => [row.key, row.per_h]));
  const body = by('pressed').tBodies[0];
  for (const row of rows) {
    const line = body.querySelector(`tr[data-key="${CSS.escape(row.key)}"]`);
    if (!line) continue;
    const rate = line.querySelector('[data-part="per_h"]');
    rate.textContent = told_rate(row.per_h);
    rate.className = `w${step(row.per_h)}`;
    line.querySelector('[data-part="quiet"]').textContent = `${Math.round(100 * row.quiet)} %`;
    line.querySelector('[data-part="change"]').textContent = difference(row);
    body.append(line);
  }
}

const step = (per_h) => Math.min(STEPS.filter((edge) => per_h >= edge).length, HIGHEST_STEP);
const told_rate = (per_h) => (per_h < 0.1 ? 'under 0.1' : per_h < 10 ? per_h.toFixed(1) : per_h.toFixed(0));

/** How much more or less than when the page was opened, where it can be told. */
function difference(row) {
  const was = first.get(row.key);
  if (!was || Math.abs(row.per_h - was) < 0.05 * was) return '';
  return `${row.per_h > was ? '+' : '−'}${Math.abs(row.per_h - was).toFixed(2)}`;
}

function swim(rows) {
  if (show) return;
  for (const row of rows) {
    row.homes.forEach(([x, y, z], nth) => {
      place('above', row.key, nth, x, boot.glass.width - y);
      place('front', row.key, nth, x, boot.glass.height - z);
    });
  }
}

function place(view, key, nth, x, y) {
  const animal = views[view].querySelector(`.swimmer[data-key="${CSS.escape(key)}"][data-nth="${nth}"]`);
  if (!animal) return;
  const scale = asked.size === 'grown' ? Number(animal.dataset.grown) : 1;
  animal.setAttribute('transform', `translate(${x.toFixed(1)} ${y.toFixed(1)}) scale(${scale})`);
  animal.setAttribute('visibility', 'visible');
  // The number stands over its animal; under it where the glass would cut it off.
  const line = NUMBER_PX * parseFloat(views[view].style.getPropertyValue('--u'));
  animal.querySelector('text')?.setAttribute('dy', y < line ? '1em' : '-1em');
}

/** What the places for food are worth, and what a newcomer would draw where the box is. */
function besides({ stations, boxed }) {
  const count = rock.things.stations.length;
  const places = count === 1 ? 'One place for food.' : `${count || 'No'} places for food, worth ${stations.toFixed(1)}.`;
  const planned = boot.boxed.map(([key]) => key);
  const rows = boxed.filter(([key]) => planned.length === 0 || planned.includes(key));
  const drawn = rows.map(([key, per_h]) => `${nameOf(key)} ${told_rate(per_h)}`).join(', ');
  const who = planned.length ? 'Attacks an hour where the box is: ' : 'Nobody is to wait in the box (box_days on a wish). Attacks an hour where it is: ';
  by('besides').textContent = drawn ? `${places} ${who}${drawn}.` : places;
}

const nameOf = (key) => document.querySelector(`#pressed tr[data-key="${CSS.escape(key)}"] th`)?.textContent.trim() ?? key;

/** On which side of the divider everyone lives, where one stands. */
function sides() {
  const { divider } = rock.things;
  by('sides').hidden = !divider;
  for (const select of by('sides').querySelectorAll('select')) select.value = divider?.right.includes(select.dataset.side) ? 'right' : 'left';
}

/** Who lives now, for the most part, in the right half of the tank. */
function onTheRight() {
  const mean = (homes) => homes.reduce((sum, [x]) => sum + x, 0) / homes.length;
  const right = (last?.rows ?? []).filter((row) => row.homes.length && mean(row.homes) > boot.glass.length / 2).map((row) => row.key);
  return [...by('sides').querySelectorAll('select')].map((select) => select.dataset.side).filter((key) => right.includes(key));
}

function chosenThing(id) {
  if (id) stage.choose(null);
  by('remove').disabled = id === null && stage.chosen === null;
  const thing = id && found(rock.things, id);
  if (thing) by('chosen').textContent = `${toldThing(id, thing)}.`;
}

function chosen(id) {
  if (id !== null) furniture.choose(null);
  by('remove').disabled = id === null && furniture.chosen === null;
  by('fixed').disabled = id === null;
  const stone = id === null ? null : rock.find(id);
  if (stone) by('chosen').textContent = words(stone);
  by('fixed').checked = stone?.fixed ?? false;
}

const words = (stone) => `${stone.form}, ${Math.round(stone.length)} × ${Math.round(stone.width)} × ${Math.round(stone.height)} cm, `
  + `its middle ${Math.round(stone.x)} cm from the left and ${Math.round(stone.y)} cm from the front, foot ${Math.round(stone.base)} cm up.`;

function told(state) {
  by('state').textContent = state === 'lost' ? 'The server does not answer; your stones stay here, and it is asked again.' : '';
  root.dataset.wire = state;
}

function scales() {
  for (const svg of Object.values(views)) {
    const matrix = svg.getScreenCTM();
    if (matrix?.a) svg.style.setProperty('--u', `${1 / matrix.a}px`);
  }
}

function rulers() {
  for (const ruler of document.querySelectorAll('[data-ruler]')) {
    const whole = Number(ruler.dataset.ruler);
    const side = ruler.classList.contains('up') ? 'bottom' : 'left';
    const px = side === 'bottom' ? ruler.clientHeight : ruler.clientWidth;
    const step = RULER_CM.find((one) => (px * one) / whole >= RULER_PX) ?? RULER_CM.at(-1);
    for (let at = 0; at <= whole; at += step) {
      const mark = document.createElement('span');
      mark.textContent = at;
      mark.style[side] = `${(100 * at) / whole}%`;
      ruler.append(mark);
    }
  }
}

/** Fetch a day of the walkers in this rockwork; the module that shows it is loaded only now. */
async function watch() {
  by('play').disabled = true;
  by('day-said').textContent = 'The day is being walked …';
  try {
    const { DayShow, readDay } = await import('./day.js');
    const body = JSON.stringify({ tank: boot.tank, stones: rock.stones, things: rock.things, size: asked.size });
    const answer = await fetch('/tank/day', { method: 'POST', headers: { 'content-type': 'application/json' }, body });
    if (!answer.ok) throw new Error(await answer.text());
    show = new DayShow(readDay(await answer.arrayBuffer()), views, boot.glass, moment);
    show.scale = (animal) => (asked.size === 'grown' ? Number(animal.dataset.grown) : 1);
    show.pace = Number(by('pace').value);
    show.follow = by('follow').value;
    by('moment').max = show.length;
    by('hour-field').hidden = false;
    by('day-said').textContent = `${show.day.said} ${show.day.chases.length} chases in ${show.day.hours} hours of light.`;
    if (matchMedia('(prefers-reduced-motion: reduce)').matches) show.show(0); else show.play();
  } catch (problem) {
    by('day-said').textContent = `No day can be shown: ${problem.message}`;
  }
  by('play').disabled = false;
}

function moment(shown) {
  const minutes = Math.floor(shown.seconds / 60);
  by('hour').textContent = `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
  by('moment').value = shown.seconds;
  by('play').textContent = shown.isPlaying ? 'Pause' : 'Go on';
  root.dataset.rate = shown.rate.toFixed(0);
}

/** Other stones or sizes are another day. */
function closeDay() {
  if (!show) return;
  show.close();
  show = null;
  by('hour-field').hidden = true;
  by('play').textContent = 'Watch a day';
  by('day-said').textContent = '';
}

by('play').addEventListener('click', () => {
  if (!show) watch(); else if (show.isPlaying) show.pause(); else show.play();
});
by('pace').addEventListener('change', () => { if (show) show.pace = Number(by('pace').value); });
by('follow').addEventListener('change', () => { if (show) { show.follow = by('follow').value; show.show(show.seconds); } });
by('moment').addEventListener('input', () => { if (show) { show.pause(); show.show(Number(by('moment').value)); } });
rock.addEventListener('change', closeDay);
let sought = null;
by('advise').addEventListener('click', async () => {
  if (sought?.isSeeking) { sought.stop(); return; }
  const { AdviceSought } = await import('./advice.js');
  sought = new AdviceSought(boot, rock, by('advice'), by('advice-state'));
  by('advise').textContent = 'Stop seeking';
  await sought.seek();
  by('advise').textContent = 'Which stone helps most?';
});
by('size').addEventListener('change', closeDay);
rock.addEventListener('change', changed);
rock.addEventListener('change', () => { if (stage.chosen !== null) chosen(stage.chosen); else if (furniture.chosen) chosenThing(furniture.chosen); });
rock.addEventListener('change', sides);
by('sides').addEventListener('change', ({ target }) => {
  const { divider } = rock.things;
  const right = divider.right.filter((key) => key !== target.dataset.side);
  furniture.change('divider', { ...divider, right: target.value === 'right' ? [...right, target.dataset.side] : right });
});
by('undo').addEventListener('click', () => rock.undo());
by('redo').addEventListener('click', () => rock.redo());
by('add').addEventListener('click', () => {
  const { value, selectedOptions: [{ dataset }] } = by('form');
  if (dataset.thing) furniture.choose(furniture.add(dataset.thing, onTheRight())); else stage.choose(rock.add(value));
  stage.draw();
});
by('remove').addEventListener('click', () => {
  if (furniture.chosen) furniture.remove(furniture.chosen); else if (stage.chosen !== null) rock.remove(stage.chosen);
});
by('fixed').addEventListener('change', (event) => {
  const { checked } = event.target;
  if (stage.chosen !== null) rock.change(stage.chosen, () => ({ fixed: checked }));
});
by('size').addEventListener('change', (event) => { asked.size = event.target.value; first = null; ask(true); });
addEventListener('click', (event) => {
  const button = event.target.closest('button[data-whose]');
  if (!button) return;
  asked.whose = button.dataset.whose;
  for (const other of document.querySelectorAll('button[data-whose]')) {
    other.setAttribute('aria-pressed', String(other === button));
  }
  ask(true);
});
addEventListener('keydown', (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z' || event.target.matches('input, textarea')) return;
  event.preventDefault();
  if (event.shiftKey) rock.redo(); else rock.undo();
});
addEventListener('resize', () => { scales(); stage.draw(); furniture.draw(); });
new MutationObserver(() => { hue = hueOf(document.body); ask(true); }).observe(root, { attributeFilter: ['data-theme'] });
matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => { hue = hueOf(document.body); ask(true); });
scales();
rulers();
keeper.begin();
stage.draw();
furniture.draw();
sides();
ask(true);
