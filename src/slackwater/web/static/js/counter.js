// At the counter: an answer as it is typed, names asked back, one tap to put an assumption right.
import { Latest, part } from './latest.js';
import { Lines } from './lines.js';

const form = document.getElementById('counter');
const answer = document.getElementById('answer');
const spoken = document.getElementById('spoken');
const lines = new Lines(document.getElementById('living'), 'Who lives there', () => changed());
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

/** Put what was understood beside each entry; the n-th entry told is not always the n-th line. */
function hear() {
  const told = lines.inputs.filter((input) => input.value.trim() !== '');
  for (const place of form.querySelectorAll('[data-heard]')) place.replaceChildren();
  for (const template of answer.querySelectorAll('template')) {
    const [name, number] = template.dataset.for.split(' ');
    const input = name === 'living' ? told[Number(number)] : form.elements[name];
    const place = input?.closest('li, .fact')?.querySelector('[data-heard]');
    place?.replaceChildren(template.content);
  }
}

/** Fill a field with what was tapped; without a value only go there. */
function fill(name, value) {
  const [field, number] = name.split(' ');
  const told = lines.inputs.filter((input) => input.value.trim() !== '');
  const input = field === 'living' ? told[Number(number)] : form.elements[field];
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
form.elements.wanted.addEventListener('keydown', (event) => {
  if (event.key !== 'Enter') return;
  event.preventDefault();
  lines.inputs[0].focus();
});
form.addEventListener('submit', (event) => { event.preventDefault(); asked.now(query()); });
if (answer.querySelector('[data-pending]')) asked.now(query());
if (answer.querySelector('[data-unweighed]')) weighed.now(query());
hear();
document.documentElement.dataset.ready = 'counter';
