// A short word at the edge of the page; it goes by itself, or stays while there is something to do.
const STAYS_MS = 6000;

/**
 * Say something at the edge of the page.
 * @param {string} text
 * @param {{action?: string, do?: () => void, once?: string}} [more] a button and what it does; `once` shows one of its name at a time
 */
export function toast(text, more = {}) {
  const edge = document.getElementById('toasts');
  if (more.once && edge.querySelector(`[data-once="${more.once}"]`)) return;
  const shown = document.createElement('div');
  shown.className = 'toast';
  if (more.once) shown.dataset.once = more.once;
  shown.append(text);
  if (more.action) {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = more.action;
    button.addEventListener('click', () => { shown.remove(); more.do?.(); });
    shown.append(button);
  }
  edge.append(shown);
  setTimeout(() => shown.remove(), STAYS_MS);
}
