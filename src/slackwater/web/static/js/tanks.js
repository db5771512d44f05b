// The list of tanks: a dropped file fills the field, so that it can be read before it is kept.
import { drop } from './drop.js';

drop(document.getElementById('drop'), (text, name) => {
  document.getElementById('text').value = text;
  const field = document.querySelector('input[name="name"]');
  if (!field.value) field.value = name.replace(/\.\w+$/, '').replaceAll('-', ' ');
  field.focus();
});
document.documentElement.dataset.ready = 'tanks';
