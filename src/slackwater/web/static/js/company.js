// A company written as a table: judged as it is typed, saved as a revision, in step with what others write.
import { Latest } from './latest.js';
import { listen } from './live.js';
import { WritingTable } from './table.js';
import { toast } from './toast.js';

const by = (id) => document.getElementById(id);
const boot = JSON.parse(by('boot').textContent);
const draft = `company ${boot.number}`;
const answer = by('answer');
const table = new WritingTable(by('company'), () => { changed(); });
const asked = new Latest(judged, show, { pauseMs: 200 });
let saved = JSON.stringify(table.values);
let saving = Promise.resolve();

const told = () => ({ tank: boot.tank, rows: table.values });

async function post(url, what, signal) {
  return fetch(url, { method: 'POST', signal, headers: { 'content-type': 'application/json' }, body: JSON.stringify(what) });
}

async function judged(what, signal) {
  return (await post('/company/judged', what, signal)).text();
}

function show(html) {
  answer.innerHTML = html;
  answer.classList.remove('stale');
  by('spoken').textContent = answer.querySelector('[data-say]')?.textContent.trim() ?? '';
}

function changed() {
  const now = JSON.stringify(table.values);
  answer.classList.add('stale');
  if (by('save')) by('save').disabled = now === saved;
  const { tank, revision } = boot;
  try {
    if (now === saved) sessionStorage.removeItem(draft);
    else sessionStorage.setItem(draft, JSON.stringify({ tank, revision, rows: table.values }));
  } catch { /* kept on the page all the same */ }
  asked.soon(told());
}

/** Write rows into the table, as they came from the server or were typed before the page was loaded anew. */
function write(rows) {
  table.body.replaceChildren();
  for (const row of rows) {
    const cells = table.cells(table.add());
    row.forEach((value, n) => { if (cells[n] && (cells[n].tagName !== 'SELECT' || value)) cells[n].value = value; });
  }
  table.grow();
}

async function save() {
  by('save').disabled = true;
  by('state').textContent = 'saving …';
  const sent = JSON.stringify(table.values);
  try {
    const reply = await post(`/tanks/${boot.number}`, { ...told(), revision: boot.revision, why: by('reason').value });
    const found = await reply.json();
    if (reply.status === 409) against(found.message);
    else if (!reply.ok) others(found.message);
    if (reply.ok) took(found, sent);
    by('save').disabled = reply.ok && by('save').disabled;
    by('state').textContent = reply.ok ? `Saved as revision ${found.revision}.` : '';
  } catch {
    by('state').textContent = '';
    others('The server does not answer. What you typed stays here.');
    by('save').disabled = false;
  }
}

/** Show what is kept now, with what others saved; a table typed in meanwhile stays an edit of what it began from. */
function took(found, sent) {
  if (JSON.stringify(table.values) !== sent) { by('save').disabled = false; return; }
  boot.revision = found.revision;
  boot.tank = found.text;
  const kept = found.rows.length ? found.rows : [[]];
  if (JSON.stringify(kept) !== sent) write(kept);
  saved = JSON.stringify(table.values);
  sessionStorage.removeItem(draft);
  by('others').hidden = true;
  by('reason').value = '';
  asked.now(told());
  if (by('saved')) by('saved').textContent = `Revision ${found.revision}`;
}

function others(words) {
  by('others').hidden = false;
  by('others').textContent = words;
}

/** Say what stands against what was typed, with a way to what is kept instead. */
function against(words) {
  others(`${words} `);
  const button = document.createElement('button');
  button.type = 'button';
  button.className = 'quiet small';
  button.textContent = 'Drop what I typed and show what is kept';
  button.addEventListener('click', () => { sessionStorage.removeItem(draft); location.reload(); });
  by('others').append(button);
}

/** Another revision was saved elsewhere: take it where nothing was typed here, else say so and keep both. */
async function news(found) {
  await saving;
  if (found.revision === null || found.revision <= boot.revision) return;
  if (JSON.stringify(table.values) === saved) {
    toast(`${found.by} saved revision ${found.revision}.`);
    location.reload();
    return;
  }
  others(`${found.by} saved revision ${found.revision} meanwhile. What you typed stays; Save joins both where they do not touch.`);
}

async function why(button) {
  const dialog = by('why');
  by('why-body').innerHTML = '<p class="busy">taking it apart …</p>';
  dialog.showModal();
  const reply = await post('/company/why', { ...told(), attacker: button.dataset.attacker, victim: button.dataset.victim });
  by('why-body').innerHTML = reply.ok ? await reply.text() : '<p>That cannot be told now.</p>';
}

answer.addEventListener('click', (event) => {
  const asks = event.target.closest('[data-attacker]');
  if (asks) why(asks);
});
answer.addEventListener('keydown', (event) => {
  const asks = event.target.closest('g[data-attacker]');
  if (!asks || !['Enter', ' '].includes(event.key)) return;
  event.preventDefault();
  why(asks);
});
by('save')?.addEventListener('click', () => { saving = save(); });
by('keep')?.addEventListener('submit', (event) => {
  event.preventDefault();
  const form = event.target;
  post('/company/text', told()).then(async (reply) => {
    if (!reply.ok) { others((await reply.json()).message); return; }
    form.elements.tank.value = (await reply.json()).text;
    form.submit();
  });
});
const typed = sessionStorage.getItem(draft);
if (typed) {
  const { tank, revision, rows } = JSON.parse(typed);
  if (revision !== boot.revision) against('Others saved while this was typed. It is shown as it was, and Save joins both where they do not touch.');
  Object.assign(boot, { tank, revision });
  write(rows);
  changed();
}
if (boot.number) listen(boot.number, boot.change, news);
if (answer.querySelector('[data-pending]')) asked.now({ tank: boot.tank });
document.documentElement.dataset.ready = 'company';
