// Where the probe has been along the weld, from each side, in whole millimetres.

/** Farther apart, two places in a row are a jump, not a scan, mm. */
const LONGEST_STEP_MM = 6;

export class Scanned {
  #marks;
  #last = null;
  #count;

  /** `kept` is what `toJSON` gave. */
  constructor(length_mm, kept = null) {
    this.#count = Math.ceil(length_mm);
    this.#marks = { A: new Uint8Array(this.#count), B: new Uint8Array(this.#count) };
    for (const side of ['A', 'B']) {
      for (const [from, to] of kept?.[side] ?? []) this.#marks[side].fill(1, from, to);
    }
  }

  /** The probe stood here. */
  passed({ side, y_mm }) {
    const near = this.#last?.side === side && Math.abs(this.#last.y_mm - y_mm) <= LONGEST_STEP_MM;
    const from = near ? Math.min(this.#last.y_mm, y_mm) : y_mm;
    const to = near ? Math.max(this.#last.y_mm, y_mm) : y_mm;
    this.#marks[side].fill(1, Math.max(0, Math.floor(from - 0.5)), Math.ceil(to + 0.5));
    this.#last = { side, y_mm };
  }

  /** Part of the length, percent. */
  percent(side) {
    return Math.floor((100 * this.#marks[side].reduce((sum, mark) => sum + mark, 0)) / this.#count);
  }

  /** The stretches, [from, to] in mm. */
  stretches(side) {
    const marks = this.#marks[side];
    const found = [];
    for (let i = 0; i < marks.length; i++) {
      if (!marks[i]) continue;
      const from = i;
      while (i < marks.length && marks[i]) i++;
      found.push([from, i]);
    }
    return found;
  }

  toJSON() {
    return { A: this.stretches('A'), B: this.stretches('B') };
  }
}
