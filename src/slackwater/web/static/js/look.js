// Brings the parts of `/look` to life.
import { ask, dialogs } from './dialog.js';
import { drop } from './drop.js';
import { WritingTable } from './table.js';
import { tabs } from './tabs.js';
import { toast } from './toast.js';

dialogs();
tabs(document.querySelector('[role="tablist"]'));
const table = new WritingTable(document.querySelector('table.write'), () => {
  document.getElementById('written').textContent = `${table.values.length} kinds written`;
});
drop(document.querySelector('.drop'), (text, name) => toast(`${name}: ${text.length} characters read`));
document.getElementById('toast').addEventListener('click', () => toast('Three entries are kept.', { action: 'Undo', do: () => toast('Undone.') }));
document.getElementById('ask').addEventListener('click', async () => {
  const said = await ask(document.getElementById('dialog'));
  document.getElementById('said').textContent = said ? `said: ${said}` : 'closed without a word';
});
document.documentElement.dataset.ready = 'look';
