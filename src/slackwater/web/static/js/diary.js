// The diary: two taps an incident, a counter for a watch, and nothing lost while the server is away.
import { listen } from './live.js';
import { toast } from './toast.js';

const by = (id) => document.getElementById(id);
const boot = JSON.parse(by('boot').textContent);
const url = `/tanks/${boot.number}/diary`;
const queueKey = `diary ${boot.number}`;
const WATCH_S = 600;
let first = null;
let watching = null;
let sending = false;

const how = () => document.querySelector('input[name="how"]:checked')?.value ?? 'chase';
const queue = () => { try { return JSON.parse(localStorage.getItem(queueKey)) ?? []; } catch { return []; } };
const store = (entries) => { try { localStorage.setItem(queueKey, JSON.stringify(entries)); } catch { /* it is sent at once, or said */ } };

/** Put entries in line, then send what is in line, oldest first. */
function keep(entry) {
  store([...queue(), { at: new Date().toISOString(), ...entry }]);
  send();
}

async function send() {
  const waiting = queue();
  if (sending || waiting.length === 0) return;
  sending = true;
  try {
    const reply = await fetch(url, {
      method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ entries: waiting.slice(0, 1) }),
    });
    if (reply.status >= 500) throw new Error(reply.statusText);
    const found = await reply.json();
    store(queue().slice(1));
    if (reply.ok) {
      by('state').textContent = [`Written: ${found.entries.map((one) => one.sentence).join('; ')}.`, ...found.cautions].join(' ');
    } else {
      by('state').textContent = found.message;
      by('typed').value ||= waiting[0].words ?? '';
    }
    sending = false;
    if (queue().length > 0) send(); else refresh();
  } catch {
    sending = false;
    by('state').textContent = `The server does not answer. ${queue().length} kept here, and sent when it does.`;
    setTimeout(send, 4000);
  }
}

async function refresh() {
  const reply = await fetch(`${url}/part`);
  if (reply.ok) by('follows').innerHTML = await reply.text();
}

function tapped(button) {
  const label = button.dataset.label;
  if (first === null || first === label) {
    first = first === label ? null : label;
    for (const other of by('taps').children) other.setAttribute('aria-pressed', String(other.dataset.label === first));
    by('tap-label').textContent = first ? `${first}: whom?` : 'Tap who, then whom';
    return;
  }
  const chase = { who: first, whom: label, how: how(), count: 1 };
  if (watching) count(chase); else keep({ chases: [chase] });
  first = null;
  for (const other of by('taps').children) other.setAttribute('aria-pressed', 'false');
  by('tap-label').textContent = 'Tap who, then whom';
}

/** One more within the watch: the line of its pair is also a button for the next. */
function count(chase) {
  const known = watching.chases.find((one) => one.who === chase.who && one.whom === chase.whom && one.how === chase.how);
  if (known) known.count += 1; else watching.chases.push(chase);
  counted();
}

function counted() {
  const list = by('counting');
  list.hidden = watching === null;
  if (!watching) return;
  list.replaceChildren(...watching.chases.map((one) => {
    const line = document.createElement('li');
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = `${one.who} → ${one.whom}, ${one.how}: ${one.count}`;
    button.addEventListener('click', () => { one.count += 1; counted(); });
    line.append(button);
    return line;
  }));
}

function tick() {
  if (!watching) { by('clock').textContent = ''; return; }
  const seconds = Math.floor((Date.now() - watching.began) / 1000);
  by('clock').textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
  if (seconds >= WATCH_S) end(); else setTimeout(tick, 500);
}

function begin() {
  watching = { began: Date.now(), chases: [] };
  by('watch').textContent = 'End the watch';
  by('cancel').hidden = false;
  counted();
  tick();
}

function end(isKept = true) {
  const minutes = Math.max((Date.now() - watching.began) / 60000, 0.1);
  const entry = { chases: watching.chases, minutes: Math.round(minutes * 10) / 10, at: new Date(watching.began).toISOString() };
  watching = null;
  by('watch').textContent = 'Watch for 10 minutes';
  by('cancel').hidden = true;
  counted();
  if (isKept) keep(entry);
}

by('taps')?.addEventListener('click', (event) => {
  const button = event.target.closest('button[data-label]');
  if (button) tapped(button);
});
by('watch')?.addEventListener('click', () => { if (watching) end(); else begin(); });
by('cancel')?.addEventListener('click', () => end(false));
by('words').addEventListener('submit', (event) => {
  event.preventDefault();
  const words = by('typed').value.trim();
  if (!words) return;
  keep({ words });
  by('typed').value = '';
});
by('follows').addEventListener('click', async (event) => {
  const button = event.target.closest('button[data-back]');
  if (!button) return;
  const reply = await fetch(`${url}/${button.dataset.back}/back`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: '{}' });
  if (!reply.ok) { toast((await reply.json()).message); return; }
  toast('Taken back; it stays readable among what was written.');
  refresh();
});
addEventListener('online', send);
listen(boot.number, boot.change, (news) => { if (news.entries) refresh(); });
send();
if (by('follows').querySelector('[data-pending]')) refresh();
document.documentElement.dataset.ready = 'diary';
