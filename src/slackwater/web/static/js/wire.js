// A line to the server for what changes many times a second: one question in flight, the newest waits,
// older ones are dropped. A broken line is opened again; what is on the page stays.

const FIRST_WAIT_MS = 300;
const LONGEST_WAIT_MS = 5000;

export class Wire {
  #socket = null;
  #waiting = null;
  #asked = 0;
  #inFlight = false;
  #wait = FIRST_WAIT_MS;
  #closed = false;

  constructor(path, { hello, onAnswer, onState = () => {} }) {
    this.path = path;
    this.hello = hello;
    this.onAnswer = onAnswer;
    this.onState = onState;
    this.#open();
  }

  ask(question) {
    this.#waiting = question;
    this.#send();
  }

  close() {
    this.#closed = true;
    this.#socket?.close();
  }

  #open() {
    const scheme = location.protocol === 'https:' ? 'wss:' : 'ws:';
    const socket = new WebSocket(`${scheme}//${location.host}${this.path}`);
    socket.binaryType = 'arraybuffer';
    socket.addEventListener('open', () => {
      this.#wait = FIRST_WAIT_MS;
      socket.send(this.hello);
      this.onState('open');
      this.#send();
    });
    socket.addEventListener('message', (event) => this.#took(event.data));
    socket.addEventListener('close', () => this.#lost());
    this.#socket = socket;
  }

  #send() {
    if (this.#inFlight || this.#waiting === null || this.#socket.readyState !== WebSocket.OPEN) return;
    this.#inFlight = true;
    this.#asked += 1;
    this.sent = performance.now();
    this.#socket.send(JSON.stringify({ ...this.#waiting, number: this.#asked }));
    this.pending = this.#waiting;
    this.#waiting = null;
  }

  #took(data) {
    this.#inFlight = false;
    this.pending = null;
    this.onAnswer(data);
    this.#send();
  }

  #lost() {
    if (this.#closed) return;
    this.onState('lost');
    this.#inFlight = false;
    this.#waiting ??= this.pending ?? null;
    setTimeout(() => this.#open(), this.#wait);
    this.#wait = Math.min(2 * this.#wait, LONGEST_WAIT_MS);
  }
}
