// The text of the plate that is being drawn, with undo and redo. The text is the one truth: fields and dragging change it.
import { BOARD } from '../shared/messages.js';

const MOST_STEPS = 200;
const KEEP = 'trialplate-drawing';

export class MakeDocument extends EventTarget {
  text = '';
  #link;
  #past = [];
  #future = [];
  #key = null;
  #queue = Promise.resolve();
  #newest = new Map();

  constructor(link) {
    super();
    this.#link = link;
  }

  get can_undo() {
    return this.#past.length > 0;
  }

  get can_redo() {
    return this.#future.length > 0;
  }

  /** What was drawn last time in this browser; null where nothing was kept. */
  static kept() {
    try {
      return localStorage.getItem(KEEP);
    } catch {
      return null;
    }
  }

  /** Takes another text. Changes with the same key one after the other are one step of undo. */
  put(text, key = null) {
    if (text === this.text) return;
    if (this.text && (key === null || key !== this.#key)) this.#past = [...this.#past.slice(1 - MOST_STEPS), this.text];
    this.#future = [];
    this.#become(text, key);
  }

  /**
   * Changes the text; one that is no plate any more is not taken: resolves with what is wrong, or null. Of changes with the same
   * key that wait only the newest counts. `edits` may be a function of what the text holds when its turn comes.
   */
  edit(edits, key = null) {
    const mine = Symbol(key ?? 'edit');
    this.#newest.set(key ?? mine, mine);
    const done = this.#queue.then(async () => {
      if (this.#newest.get(key ?? mine) !== mine) return null;
      this.#newest.delete(key ?? mine);
      const was = this.text;
      const lay = (text) => this.#link.board(BOARD.LAY, { name: 'plate.toml', text });
      let wanted = edits;
      if (typeof edits === 'function') {
        const now = await lay(was);
        if (now.problems) return now.problems;
        wanted = edits(now);
      }
      const text = await this.#link.board(BOARD.EDIT, { text: was, edits: wanted });
      const laid = await lay(text);
      if (laid.problems) return laid.problems;
      if (this.text === was) this.put(text, key);
      return null;
    });
    this.#queue = done.catch(() => {});
    return done;
  }

  undo() {
    if (!this.#past.length) return;
    this.#future.push(this.text);
    this.#become(this.#past.pop());
  }

  redo() {
    if (!this.#future.length) return;
    this.#past.push(this.text);
    this.#become(this.#future.pop());
  }

  #become(text, key = null) {
    this.text = text;
    this.#key = key;
    try {
      localStorage.setItem(KEEP, text);
    } catch {
      // Without storage the drawing lasts as long as the page; the file can be saved.
    }
    this.dispatchEvent(new Event('change'));
  }
}
