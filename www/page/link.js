// The page's end of the worker: questions with answers, and set-ups of which only the newest counts.
import { TO_PAGE, TO_WORKER } from '../shared/messages.js';
import { worker } from './first-worker.js';
import { spoken } from './spoken.js';

/** Name of the error that a question fails with. */
export const REFUSED = 'Refused';

const refusal = ({ message, reason = null }) => Object.assign(new Error(message), { name: REFUSED, reason });

export class Link extends EventTarget {
  #worker = null;
  #waiting = new Map();
  #next = 1;
  #busy = false;
  #held = false;
  #newest = null;
  #spare = [];
  #serial = 0;

  /** Starts a fresh worker; whatever was asked of the old one fails. */
  start() {
    this.#worker?.terminate();
    for (const { reject } of this.#waiting.values()) reject(refusal({ message: 'restarted' }));
    this.#waiting.clear();
    this.#busy = false;
    this.#newest = null;
    this.#spare = [];
    this.#worker = worker(({ data }) => this.#take(data), (event) => {
      event.preventDefault();
      this.#tell(TO_PAGE.STOPPED, { message: event.message ?? '', reason: 'fail.start' });
    });
    this.#worker.postMessage({ type: TO_WORKER.WORDS, words: spoken });
  }

  /** Opens a plate; resolves with {about, outline, state}. */
  async open(source, log = null, passphrase = '') {
    const serial = this.#next;
    const opened = await this.#question({ type: TO_WORKER.OPEN, source, log, passphrase });
    this.#serial = serial;
    this.#newest = null;
    return opened;
  }

  /** Asks about the open plate. */
  ask(what, values = {}) {
    return this.#question({ type: TO_WORKER.ASK, what, values });
  }

  /** Asks for something that changes what a set-up means: what was wanted before is dropped, and nothing is wanted meanwhile. */
  async alter(what, values) {
    this.#held = true;
    this.#newest = null;
    try {
      return await this.ask(what, values);
    } finally {
      this.#held = false;
    }
  }

  /** Looks at a plate before it is handed out; resolves with null when another was asked for meanwhile. */
  look(source) {
    return this.#question({ type: TO_WORKER.LOOK, source });
  }

  /** Asks of the plate on the drawing board. */
  board(what, values = {}) {
    return this.#question({ type: TO_WORKER.BOARD, what, values });
  }

  /** Asks about exams. */
  exam(what, values = {}) {
    return this.#question({ type: TO_WORKER.EXAM, what, values });
  }

  /** Asks about the recorded scan. */
  scan(what, values = {}) {
    return this.#question({ type: TO_WORKER.SCAN, what, values });
  }

  /** Wants a frame at a set-up. While one is under way only the newest set-up is kept. */
  want(setup) {
    if (this.#held) return;
    if (this.#busy) this.#newest = setup;
    else this.#post(setup);
  }

  /** Gives buffers back for the next frames. */
  giveBack(...buffers) {
    this.#spare.push(...buffers);
  }

  #post(setup) {
    this.#busy = true;
    const spare = this.#spare;
    this.#spare = [];
    this.#worker.postMessage({ type: TO_WORKER.SETUP, setup, serial: this.#serial, spare }, spare);
  }

  #question(message) {
    return new Promise((resolve, reject) => {
      const request = this.#next++;
      this.#waiting.set(request, { resolve, reject });
      this.#worker.postMessage({ ...message, request });
    });
  }

  #take(data) {
    if (data.type === TO_PAGE.ANSWER) {
      const waiting = this.#waiting.get(data.request);
      this.#waiting.delete(data.request);
      if (data.error) waiting?.reject(refusal(data.error));
      else waiting?.resolve(data.value);
      return;
    }
    if (data.type === TO_PAGE.FRAME) {
      this.#busy = false;
      if (this.#newest) {
        const newest = this.#newest;
        this.#newest = null;
        this.#post(newest);
      }
      if (data.passed_over) return;
    }
    this.#tell(data.type, data);
  }

  #tell(type, detail) {
    this.dispatchEvent(new CustomEvent(type, { detail }));
  }
}
