// Follows long work, step by step, and shows its page when it is over.
const place = document.getElementById('planning');
const step = document.getElementById('step');
const seconds = document.getElementById('seconds');
const begun = performance.now();
const PAUSE_MS = 2000;

setInterval(() => { seconds.textContent = Math.round((performance.now() - begun) / 1000); }, 1000);

async function follow(seen) {
  const told = await fetch(`${place.dataset.base}/step?${new URLSearchParams({ seen })}`);
  if (!told.ok) { location.reload(); return; }
  const now = await told.json();
  step.textContent = now.step;
  if (now.over) location.reload();
  else follow(now.step);
}

/** Keep on asking when the server was away for a moment. */
async function patiently() {
  try {
    await follow(place.dataset.step);
  } catch {
    dispatchEvent(new CustomEvent('slackwater:away'));
    setTimeout(patiently, PAUSE_MS);
  }
}
patiently();
