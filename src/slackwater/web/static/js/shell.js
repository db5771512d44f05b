// What every page has: light or dark, and a word when the server is away.
import { toast } from './toast.js';

const THEMES = ['', 'light', 'dark'];
const WORDS = { '': 'Light or dark: as this device', light: 'Light', dark: 'Dark' };

/** Show a theme and keep it for a year; the server writes it into the next page before it paints. */
export function show(theme) {
  const root = document.documentElement;
  if (theme) root.dataset.theme = theme;
  else delete root.dataset.theme;
  document.cookie = `look=${theme}; path=/; max-age=31536000; SameSite=Strict`;
}

const button = document.getElementById('theme');
button.hidden = false;
button.textContent = WORDS[document.documentElement.dataset.theme ?? ''];
button.addEventListener('click', () => {
  const now = document.documentElement.dataset.theme ?? '';
  const next = THEMES[(THEMES.indexOf(now) + 1) % THEMES.length];
  show(next);
  button.textContent = WORDS[next];
});

addEventListener('slackwater:away', () => toast('The server does not answer. What you typed stays here.', { once: 'away' }));
