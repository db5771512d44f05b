// Tabs: arrow keys go along the words, the open one shows its panel.

/** Make a list of tabs work; each `role=tab` names its panel with `aria-controls`. */
export function tabs(list) {
  const all = [...list.querySelectorAll('[role="tab"]')];
  const open = (tab) => {
    for (const one of all) {
      const isOpen = one === tab;
      one.setAttribute('aria-selected', String(isOpen));
      one.tabIndex = isOpen ? 0 : -1;
      document.getElementById(one.getAttribute('aria-controls')).hidden = !isOpen;
    }
  };
  list.addEventListener('click', (event) => {
    const tab = event.target.closest('[role="tab"]');
    if (tab) open(tab);
  });
  list.addEventListener('keydown', (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step) return;
    const next = all[(all.indexOf(document.activeElement) + step + all.length) % all.length];
    next.focus();
    open(next);
  });
  open(all.find((tab) => tab.getAttribute('aria-selected') === 'true') ?? all[0]);
}
