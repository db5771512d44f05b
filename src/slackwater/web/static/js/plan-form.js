// A tank file chosen or dropped comes into the text, where it can be read before it is planned.
import { drop } from './drop.js';

const text = document.getElementById('tank_file');
const form = document.getElementById('plan');
drop(form, (read, name) => {
  text.value = read;
  form.elements.title.value ||= name.replace(/\.[^.]+$/, '');
  text.focus();
});
document.documentElement.dataset.ready = 'plan-form';
