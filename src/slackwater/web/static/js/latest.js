// One request in flight; the newest waits, older ones are dropped; a late answer never overtakes.

export class Latest {
  /**
   * @param {(what: any, signal: AbortSignal) => Promise<any>} ask
   * @param {(answer: any, what: any) => void} took
   * @param {{pauseMs?: number}} [more] how long a pause in the typing has to be
   */
  constructor(ask, took, more = {}) {
    this.ask = ask;
    this.took = took;
    this.pauseMs = more.pauseMs ?? 150;
    this.busy = false;
    this.waiting = undefined;
    this.timer = 0;
  }

  /** Ask as soon as the typing pauses. */
  soon(what) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.now(what), this.pauseMs);
  }

  /** Do not ask what waits for a pause: it is not wanted any more. */
  drop() {
    clearTimeout(this.timer);
  }

  /** Ask at once, or right after the request that is under way. */
  async now(what) {
    clearTimeout(this.timer);
    if (this.busy) { this.waiting = { what }; return; }
    this.busy = true;
    try {
      const answer = await this.ask(what, AbortSignal.timeout(30000));
      if (!this.waiting) this.took(answer, what);
    } catch (problem) {
      dispatchEvent(new CustomEvent('slackwater:away', { detail: problem }));
    } finally {
      this.busy = false;
      const next = this.waiting;
      this.waiting = undefined;
      if (next) this.now(next.what);
    }
  }
}

/** Fetch part of a page as text; what is refused comes back as text too. */
export async function part(url, signal) {
  const answer = await fetch(url, { signal, headers: { accept: 'text/html' } });
  return answer.text();
}
