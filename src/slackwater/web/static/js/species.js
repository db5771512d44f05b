// The search answers as it is typed; Enter goes to the animal, or shows whom to choose from.
import { Latest, part } from './latest.js';

const form = document.getElementById('search');
const found = document.getElementById('found');
const asked = new Latest((query, signal) => part(`/species/find?${query}`, signal), (html) => { found.innerHTML = html; });

form.addEventListener('input', () => {
  const query = new URLSearchParams(new FormData(form)).toString();
  history.replaceState(null, '', form.elements.said.value.trim() ? `/species?${query}` : '/species');
  asked.soon(query);
});
document.documentElement.dataset.ready = 'species';
