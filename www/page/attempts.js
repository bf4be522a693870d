// Keeps the open session in the browser: after each call, each second of scanning, and when the page is left.
import { learned } from './learned.js';
import { keep } from './store.js';

/** Pause between two savings while the probe moves, ms. */
const PAUSE_MS = 1000;

export class Attempts {
  #session;
  #waiting = 0;
  #trouble;
  /** The record last made: what a restart goes back to. */
  last = null;

  constructor(session, trouble) {
    this.#session = session;
    this.#trouble = trouble;
    session.addEventListener('open', () => { this.last = this.#record(null); });
    session.addEventListener('sheet', () => this.keep());
    session.addEventListener('change', () => {
      this.#waiting ||= setTimeout(() => this.keep(), PAUSE_MS);
    });
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'hidden') this.keep();
    });
  }

  /** A new attempt at a source. */
  fresh(source) {
    return { id: newId(), source, log: null, started: Date.now() };
  }

  /** Saves the session as it is now. */
  async keep() {
    clearTimeout(this.#waiting);
    this.#waiting = 0;
    const session = this.#session;
    if (!session.open) return;
    const id = session.id;
    let log;
    try {
      log = await session.log();
    } catch {
      return; // The worker went away meanwhile: the record before this one stands.
    }
    if (id !== session.id) return;
    this.last = this.#record(log);
    if (!(await keep(this.last))) this.#trouble();
  }

  #record(log) {
    const { id, source, started, about, handed_in, edits } = this.#session;
    return { id, source, started, log, edits: structuredClone(edits.kept), title: about.title, updated: Date.now(),
      handed_in: Boolean(handed_in), learned: learned(this.#session) };
  }

  /** The part of the address after the place. */
  address() {
    const { source, id } = this.#session;
    const { kind, bytes, name, ...rest } = source;
    return new URLSearchParams({ ...rest, attempt: id }).toString();
  }
}

function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
