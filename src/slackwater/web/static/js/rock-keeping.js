// Where moved stones and things go: into a drawer of this browser at once, into a file or a revision when asked.
import { listen } from './live.js';
import { toast } from './toast.js';

const by = (id) => document.getElementById(id);

/** Stones of a tank that is not kept: they last as long as this window, and can be downloaded. */
export class LooseRock {
  constructor(boot, rock) {
    this.boot = boot;
    this.rock = rock;
    this.laid = JSON.stringify(rock.stones);
    by('file').addEventListener('submit', (event) => {
      event.target.elements.tank.value = this.boot.tank;
      const { stones, things } = this.sent;
      event.target.elements.stones.value = stones ? JSON.stringify(stones) : '';
      event.target.elements.things.value = JSON.stringify(things);
    });
  }

  get drawer() { return `tank ${this.boot.tank}`; }

  get shown() { return { stones: this.rock.stones, things: this.rock.things }; }

  /** What is sent: stones that lie as they did are left out, so that what was told of them stays. */
  get sent() {
    const { stones, things } = this.shown;
    return JSON.stringify(stones) === this.laid ? { things } : { stones, things };
  }

  /** Take up stones that were moved before the page was loaded anew. */
  begin() {
    const found = this.restored();
    if (found?.things) this.rock.put(found);
  }

  changed() { this.store(this.shown); }

  restored() {
    try { return JSON.parse(sessionStorage.getItem(this.drawer)); } catch { return null; }
  }

  store(what) {
    try { sessionStorage.setItem(this.drawer, JSON.stringify(what)); } catch { /* a full or closed drawer */ }
  }
}

/** Stones of a kept tank: saved as a revision, in step with what others save. */
export class SavedRock extends LooseRock {
  constructor(boot, rock) {
    super(boot, rock);
    this.seen = boot.revision;
    this.saved = JSON.stringify(this.shown);
    by('save').addEventListener('click', () => this.save());
  }

  get drawer() { return `rock ${this.boot.number}`; }

  get isChanged() { return JSON.stringify(this.shown) !== this.saved; }

  begin() {
    const draft = this.restored();
    if (draft && draft.revision !== this.boot.revision) {
      this.say('Stones were moved here before others saved; they are shown, and Save joins both where they do not touch.');
    }
    if (draft?.things) {
      Object.assign(this.boot, { tank: draft.tank, revision: draft.revision });
      this.rock.put({ stones: draft.stones, things: draft.things });
    }
    listen(this.boot.number, this.boot.change, (found) => this.news(found));
  }

  changed() {
    by('save').disabled = !this.isChanged;
    if (!this.isChanged) { sessionStorage.removeItem(this.drawer); return; }
    const { tank, revision } = this.boot;
    this.store({ tank, revision, ...this.shown });
  }

  async save() {
    by('save').disabled = true;
    by('saving').textContent = 'saving …';
    const { number, tank, revision } = this.boot;
    const told = { tank, revision, ...this.sent, why: by('reason').value };
    try {
      const reply = await fetch(`/tanks/${number}`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(told) });
      const found = await reply.json();
      if (!reply.ok) throw new Error(found.message);
      // The page is made anew from what is kept: stones were let down, and others' edits may be joined.
      sessionStorage.removeItem(this.drawer);
      sessionStorage.setItem('said', `Saved as revision ${found.revision}.`);
      location.reload();
    } catch (problem) {
      by('saving').textContent = '';
      this.say(problem instanceof TypeError ? 'The server does not answer. The stones stay here.' : problem.message);
      by('save').disabled = false;
    }
  }

  /** Another revision was saved elsewhere: take it where nothing was moved here, else say so and keep both. */
  news(found) {
    if (found.revision === null || found.revision <= this.seen) return;
    this.seen = found.revision;
    if (!this.isChanged) {
      toast(`${found.by} saved revision ${found.revision}.`);
      location.reload();
      return;
    }
    this.say(`${found.by} saved revision ${found.revision} meanwhile. Your stones stay; Save joins both where they do not touch.`);
  }

  say(words) {
    by('others').hidden = false;
    by('others').textContent = words;
  }
}

const said = sessionStorage.getItem('said');
if (said) {
  sessionStorage.removeItem('said');
  toast(said);
}
