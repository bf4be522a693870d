// From a plate's text to what it shows, coarse to fine: the drawing, a picture, then echo after echo. Of several texts
// waiting only the newest counts.
import { BOARD } from '../shared/messages.js';

/**
 * `show` hears `problems(list)`, `laid(laid, wish)`, `frame(frame, scan)` and `echoes(echoes, more)`. A wish is {name, text,
 * first, scan(laid, echoes)}: `scan` gives what to scan, or null; `first` is the flaw that matters most.
 */
export class BoardRun {
  #link;
  #show;
  #newest = null;
  #running = false;

  constructor(link, show) {
    this.#link = link;
    this.#show = show;
  }

  want(wish) {
    this.#newest = wish;
    if (!this.#running) this.#run();
  }

  /** Leaves off after what is under way. */
  stop() {
    this.#newest = null;
  }

  async #run() {
    this.#running = true;
    try {
      while (this.#newest) {
        const wish = this.#newest;
        this.#newest = null;
        await this.#one(wish);
      }
    } finally {
      this.#running = false;
    }
  }

  async #one(wish) {
    const { name, text, first = 0 } = wish;
    const laid = await this.#link.board(BOARD.LAY, { name, text });
    if (laid.problems) return this.#show.problems(laid.problems, wish);
    this.#show.laid(laid, wish);
    await this.#scan(wish, laid, null);
    // Both sides of the flaw that matters most come even while the next text is waiting: one sees them follow the hand.
    let step = { more: true };
    for (let done = 0; step.more && (!this.#newest || done < laid.procedure.sides.length); done++) {
      step = await this.#link.board(BOARD.STEP, { first });
      this.#show.echoes(step.echoes, step.more, wish);
    }
    if (!step.more) await this.#scan(wish, laid, step.echoes);
  }

  async #scan(wish, laid, echoes) {
    const scan = wish.scan(laid, echoes);
    if (!scan) return;
    this.#show.frame(await this.#link.board(BOARD.SCAN, scan), scan);
  }
}

/** The highest echo a side shows, of all legs. */
export const highest = (from_side) => from_side?.legs.reduce((best, echo) => (!best || echo.amplitude_db > best.amplitude_db ? echo : best), null) ?? null;
