// A list of entries, one a line: Enter begins the next, Backspace in an empty one goes back,
// several lines pasted become several entries. Text from a spreadsheet loses its tabs on the way.

export class Lines {
  /**
   * @param {HTMLOListElement} list its items hold one input each
   * @param {string} label what the entries are, for those who listen
   * @param {() => void} changed
   * @param {() => void} [ended] what Enter does in an empty line
   */
  constructor(list, label, changed, ended) {
    this.list = list;
    this.label = label;
    this.changed = changed;
    this.ended = ended;
    this.pattern = list.querySelector('li').cloneNode(true);
    list.addEventListener('keydown', (event) => this.typed(event));
    list.addEventListener('paste', (event) => this.pasted(event));
    list.addEventListener('input', () => this.grow());
    this.grow();
  }

  get inputs() { return [...this.list.querySelectorAll('input')]; }

  /** Keep one empty line at the end. */
  grow() {
    if (this.inputs.at(-1)?.value.trim() !== '') this.add();
    this.number();
  }

  add(after = this.list.lastElementChild, value = '') {
    const item = this.pattern.cloneNode(true);
    item.querySelector('input').value = value;
    item.querySelector('[data-heard]')?.replaceChildren();
    after ? after.after(item) : this.list.append(item);
    return item.querySelector('input');
  }

  number() {
    this.inputs.forEach((input, n) => {
      input.setAttribute('aria-label', `${this.label}, ${n + 1}`);
      if (n > 0) input.placeholder = '';
    });
  }

  typed(event) {
    const inputs = this.inputs;
    const n = inputs.indexOf(event.target);
    if (n < 0) return;
    if (event.key === 'Enter') {
      event.preventDefault();
      if (this.ended && event.target.value.trim() === '') { this.ended(); return; }
      (inputs[n + 1] ?? this.add()).focus();
      this.number();
    } else if (event.key === 'Backspace' && event.target.value === '' && inputs.length > 1) {
      event.preventDefault();
      (inputs[n - 1] ?? inputs[n + 1]).focus();
      event.target.closest('li').remove();
      this.grow();
      this.changed();
    } else if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      inputs[n + (event.key === 'ArrowDown' ? 1 : -1)]?.focus();
    }
  }

  pasted(event) {
    const text = event.clipboardData.getData('text').replace(/\t+/g, ' ');
    const found = text.split(/\r?\n/).map((line) => line.trim()).filter(Boolean);
    if (found.length < 2) return;
    event.preventDefault();
    event.target.value = found[0];
    let last = event.target.closest('li');
    for (const line of found.slice(1)) last = this.add(last, line).closest('li');
    this.grow();
    last.querySelector('input').focus();
    this.changed();
  }
}
