// What of the weld was examined from each side, as the simulation tells it: by the way of the sound, not of the probe.
import { ASK } from '../shared/messages.js';

/** Pause between two questions while the probe moves, ms. */
const PAUSE_MS = 400;

export class Examined extends EventTarget {
  #link;
  #waiting = 0;
  /** [{side, met_percent, at_level_percent, along_percent}], along in slices of equal length from the datum. */
  sides = [];

  constructor(link) {
    super();
    this.#link = link;
  }

  /** Another plate, or the same anew. */
  forget() {
    this.sides = [];
    this.changed();
  }

  /** Something was scanned: asks soon. */
  changed() {
    this.#waiting ||= setTimeout(async () => {
      this.#waiting = 0;
      try {
        this.sides = await this.#link.ask(ASK.EXAMINED);
      } catch {
        return; // The worker went away meanwhile; the next frame asks again.
      }
      this.dispatchEvent(new Event('examined'));
    }, PAUSE_MS);
  }

  of(side) {
    return this.sides.find((one) => one.side === side) ?? { side, met_percent: 0, at_level_percent: 0, along_percent: [] };
  }

  /** Part of what the procedure can reach from a side that was examined at scanning gain, whole percent. */
  percent(side) {
    return Math.floor(this.of(side).at_level_percent);
  }

  /** Part that was met at any gain, whole percent. */
  met(side) {
    return Math.floor(this.of(side).met_percent);
  }

  /** Part of the length over which a side has seen anything, percent. */
  along(side) {
    const slices = this.of(side).along_percent;
    return slices.length === 0 ? 0 : Math.floor((100 * slices.filter((percent) => percent > 0).length) / slices.length);
  }
}
