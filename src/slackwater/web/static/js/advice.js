// Which stone helps most: sought by the server, offered in words, taken with one tap and undone like any move.

const LOOK_MS = 700;

export class AdviceSought {
  #key = null;

  /** `place` holds the list, `state` the words on how far it has come. */
  constructor(boot, rock, place, state) {
    this.boot = boot;
    this.rock = rock;
    this.place = place;
    this.state = state;
  }

  get isSeeking() { return this.#key !== null; }

  async seek() {
    this.place.replaceChildren();
    this.state.textContent = 'seeking …';
    try {
      const reply = await post('/tank/advice', { tank: this.boot.tank, stones: this.rock.stones, things: this.rock.things });
      const told = await reply.json();
      if (!reply.ok) throw new Error(told.message);
      this.#key = told.key;
      await this.#follow(told.key);
    } catch (problem) {
      this.state.textContent = `No advice: ${problem.message}`;
    }
    this.#key = null;
  }

  async stop() {
    if (this.#key) await post(`/tank/advice/${this.#key}/stop`, {});
  }

  async #follow(key) {
    for (;;) {
      await new Promise((go) => { setTimeout(go, LOOK_MS); });
      const told = await (await fetch(`/tank/advice/${key}`)).json();
      if (told.advice) { this.#show(told.advice); return; }
      if (told.state === 'stopped') { this.state.textContent = 'Stopped.'; return; }
      if (told.state === 'failed') throw new Error(told.message);
      this.state.textContent = `${told.step} …`;
    }
  }

  #show(advice) {
    this.state.textContent = advice.offers.length ? advice.now : `${advice.now} No single stone betters it.`;
    this.place.replaceChildren(...advice.offers.map((offer) => this.#line(offer)));
  }

  #line(offer) {
    const line = document.createElement('li');
    const words = document.createElement('p');
    words.textContent = `${offer.do}. ${offer.said}`;
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = 'Lay it so';
    button.addEventListener('click', () => this.rock.set(offer.stones));
    line.append(words, button);
    return line;
  }
}

const post = (url, what) => fetch(url, {
  method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(what),
});
