// Dialogs: the browser's own, opened by whatever names them, closed by Escape and by their buttons.

/** Let every `[data-opens]` open the dialog it names. */
export function dialogs(root = document) {
  root.addEventListener('click', (event) => {
    const opener = event.target.closest('[data-opens]');
    if (opener) document.getElementById(opener.dataset.opens).showModal();
  });
}

/**
 * Ask something that can be answered by the buttons of a dialog.
 * @param {HTMLDialogElement} dialog
 * @returns {Promise<string>} the value of the button; empty where it was closed
 */
export function ask(dialog) {
  return new Promise((resolve) => {
    dialog.returnValue = '';
    dialog.addEventListener('close', () => resolve(dialog.returnValue), { once: true });
    dialog.showModal();
  });
}
