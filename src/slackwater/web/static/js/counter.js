// At the counter: an answer as it is typed, names asked back, one tap to put an assumption right.
import { Latest, part } from './latest.js';
import { Lines } from './lines.js';

const form = document.getElementById('counter');
const answer = document.getElementById('answer');
const spoken = document.getElementById('spoken');
const tank = document.getElementById('tank');
const living = new Lines(document.getElementById('living'), 'Who lives there', () => changed(), () => tank.focus());
const wanted = new Lines(document.getElementById('wanted'), 'Who is wanted', () => changed(), () => living.inputs[0].focus());
const lists = { living, wanted };
const weighed = new Latest((told, signal) => part(`/counter/granted?${told}`, signal), weigh, { pauseMs: 300 });
const asked = new Latest((query, signal) => part(`/counter?${query}`, signal), show, { pauseMs: 60 });

/** What was told, as an address: empty facts are left out. */
function query() {
  const told = [...new FormData(form)].filter(([, value]) => value.trim() !== '');
  return new URLSearchParams(told).toString();
}

function changed() {
  const told = query();
  history.replaceState(null, '', told ? `/?${told}` : '/');
  answer.classList.add('stale');
  weighed.drop();
  asked.soon(told);
}

function show(html) {
  answer.innerHTML = html;
  answer.classList.remove('stale');
  hear();
  const said = answer.querySelector('[data-say]')?.textContent.trim().replace(/\s+/g, ' ') ?? '';
  if (spoken.textContent !== said) spoken.textContent = said;
  if (answer.querySelector('[data-unweighed]')) weighed.soon(query());
}

/** Show what each assumption may cost, unless other facts were told meanwhile. */
function weigh(html, told) {
  const place = document.getElementById('granted');
  if (place && told === query()) place.innerHTML = html;
}

/** The input of a fact, or of the n-th line told, which is not always the n-th line. */
function fieldOf(fact) {
  const [name, number] = fact.split(' ');
  const told = lists[name]?.inputs.filter((input) => input.value.trim() !== '');
  return told ? told[Number(number)] : form.elements[name];
}

/** Put what was understood beside each entry. */
function hear() {
  for (const place of form.querySelectorAll('[data-heard]')) place.replaceChildren();
  for (const template of answer.querySelectorAll('template')) {
    const place = fieldOf(template.dataset.for)?.closest('li, .fact')?.querySelector('[data-heard]');
    place?.append(template.content);
  }
}

/** Fill a field with what was tapped; without a value only go there. */
function fill(name, value) {
  const input = fieldOf(name);
  if (!input) return;
  if (input.closest('#more')) document.getElementById('more').open = true;
  if (value) { input.value = value; changed(); }
  if (!value || input.closest('.fact')) input.focus();
}

addEventListener('click', (event) => {
  const tapped = event.target.closest('button[data-field]');
  if (tapped) fill(tapped.dataset.field, tapped.dataset.value);
});
form.addEventListener('input', changed);
form.addEventListener('submit', (event) => { event.preventDefault(); asked.now(query()); });
if (answer.querySelector('[data-pending]')) asked.now(query());
if (answer.querySelector('[data-unweighed]')) weighed.now(query());
hear();
document.documentElement.dataset.ready = 'counter';
