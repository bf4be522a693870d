// Keeps the open session in the browser: after each call, each half second of scanning, and when the page is left.
import { learned } from './learned.js';
import { OneTab } from './one-tab.js';
import { KEPT, keep } from './store.js';

/** Pause between two savings while the probe moves, ms: with the saving itself less than a second of work is at stake. */
const PAUSE_MS = 400;

export class Attempts {
  #session;
  #waiting = 0;
  #told;
  #rev = 0;
  #tab;
  /** The record last made: what a restart goes back to. */
  last = null;

  /** `told(what)` hears what became of each saving, one of KEPT; `elsewhere(lost)` that another tab writes this attempt. */
  constructor(session, { told, elsewhere }) {
    this.#session = session;
    this.#told = told;
    this.#tab = new OneTab({ putAway: () => this.keep(), lost: () => this.#looksOn(true) });
    session.addEventListener('open', async () => {
      this.#rev = session.rev;
      this.last = this.#record(null);
      await this.#tab.claim(session.id);
      if (this.#tab.mine) {
        session.kept_elsewhere = false;
        this.keep();
      } else this.#looksOn(false);
    });
    session.addEventListener('sheet', () => this.keep());
    session.addEventListener('change', () => {
      this.#waiting ||= setTimeout(() => this.keep(), PAUSE_MS);
    });
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'hidden') this.keep();
    });
    this.elsewhere = elsewhere;
  }

  /** A new attempt at a source. */
  fresh(source) {
    return { id: newId(), source, log: null, started: Date.now() };
  }

  /** Asks the tab that has the open attempt for it; then it is to be opened anew, from what that tab kept. */
  takeOver() { return this.#tab.takeOver(this.#session.id); }

  #looksOn(lost) {
    this.#session.kept_elsewhere = true;
    this.elsewhere(lost);
  }

  /** Saves the session as it is now; resolves with the record. */
  async keep() {
    clearTimeout(this.#waiting);
    this.#waiting = 0;
    const session = this.#session;
    if (!session.open || !this.#tab.mine) return this.last;
    const id = session.id;
    let log;
    try {
      log = await session.log();
    } catch {
      return this.last; // The worker went away meanwhile: the record before this one stands.
    }
    if (id !== session.id || !this.#tab.mine) return this.last;
    this.#rev += 1;
    this.last = this.#record(log);
    const what = await keep(this.last);
    if (id !== session.id) return this.last;
    if (what === KEPT.OVERTAKEN) this.#tab.overtaken();
    else this.#told(what);
    return this.last;
  }

  #record(log) {
    const { id, source, started, about, handed_in, edits, lesson } = this.#session;
    return { id, rev: this.#rev, source, started, log, edits: structuredClone(edits.kept), title: lesson?.words.title ?? about.title, updated: Date.now(),
      handed_in: Boolean(handed_in), learned: learned(this.#session) };
  }

  /** The part of the address after the place. */
  address() {
    const { source, id } = this.#session;
    const { kind, bytes, name, exam, ...rest } = source;
    return new URLSearchParams({ ...rest, attempt: id }).toString();
  }
}

export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
