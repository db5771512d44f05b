// A table to write in: rows come and go, and a block copied from a spreadsheet fills the cells from
// the one it is pasted into.

export class WritingTable {
  /**
   * @param {HTMLTableElement} table its first body row is the pattern for new ones
   * @param {() => void} [changed]
   */
  constructor(table, changed = () => {}) {
    this.body = table.tBodies[0];
    this.changed = changed;
    this.pattern = this.body.rows[0].cloneNode(true);
    for (const option of this.pattern.querySelectorAll('[selected]')) option.removeAttribute('selected');
    for (const input of this.pattern.querySelectorAll('input')) input.setAttribute('value', '');
    table.addEventListener('paste', (event) => this.pasted(event));
    table.addEventListener('keydown', (event) => this.typed(event));
    table.addEventListener('click', (event) => {
      if (event.target.closest('[data-off]')) this.remove(event.target.closest('tr'));
    });
    table.addEventListener('input', () => { this.grow(); this.changed(); });
    this.grow();
  }

  cells(row) { return [...row.querySelectorAll('input, select')]; }

  isEmpty(row) { return this.cells(row).every((cell) => cell.tagName === 'SELECT' || cell.value.trim() === ''); }

  /** What is written, a row an array of texts; empty rows are left out. */
  get values() {
    return [...this.body.rows].filter((row) => !this.isEmpty(row)).map((row) => this.cells(row).map((cell) => cell.value.trim()));
  }

  add() {
    const row = this.pattern.cloneNode(true);
    this.body.append(row);
    return row;
  }

  /** Keep one empty row at the end. */
  grow() {
    const last = this.body.rows[this.body.rows.length - 1];
    if (!last || !this.isEmpty(last)) this.add();
  }

  remove(row) {
    const next = row.nextElementSibling ?? row.previousElementSibling;
    row.remove();
    this.grow();
    this.cells(next?.isConnected ? next : this.body.rows[0])[0].focus();
    this.changed();
  }

  typed(event) {
    const row = event.target.closest('tbody tr');
    if (!row) return;
    const column = this.cells(row).indexOf(event.target);
    const other = { Enter: row.nextElementSibling, ArrowDown: row.nextElementSibling, ArrowUp: row.previousElementSibling }[event.key];
    if (!other || event.target.tagName === 'SELECT') return;
    event.preventDefault();
    this.cells(other)[column]?.focus();
  }

  pasted(event) {
    const text = event.clipboardData.getData('text').replace(/\r?\n$/, '');
    const lines = text.split(/\r?\n/).map((line) => line.split('\t'));
    if (lines.length < 2 && lines[0].length < 2) return;
    event.preventDefault();
    const start = event.target.closest('tr');
    const column = this.cells(start).indexOf(event.target);
    let row = start;
    for (const [n, line] of lines.entries()) {
      if (n > 0) row = row.nextElementSibling ?? this.add();
      this.cells(row).slice(column).forEach((cell, m) => { if (m < line.length) set(cell, line[m].trim()); });
    }
    this.grow();
    this.changed();
  }
}

/** Write into a cell; of a choice take the word that fits. */
function set(cell, value) {
  if (cell.tagName !== 'SELECT') { cell.value = value; return; }
  const fitting = [...cell.options].find((option) => option.text.toLowerCase() === value.toLowerCase());
  if (fitting) cell.value = fitting.value;
}
