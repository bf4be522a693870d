// The answer sheet as it is edited: every edit can be taken back, one after the other.
import { ASK } from '../shared/messages.js';

/** A call with nothing filled in; the simulation leaves out what is empty. */
export const BLANK = { kind: null, start_mm: null, end_mm: null, offset_mm: null, depth_mm: null, height_mm: null,
  amplitude_db: null, side: null, leg: null, decision: null, remark: '' };
export const filled = (sheet) => ({ ...sheet, calls: sheet.calls.map((call) => ({ ...BLANK, ...call })) });

export class Edits {
  #apply;
  #done = [];

  /** `apply(what, values)` makes an edit. */
  constructor(apply) {
    this.#apply = apply;
  }

  get any() { return this.#done.length > 0; }

  forget() {
    this.#done = [];
  }

  /** Makes an edit of a sheet and remembers how to take it back. */
  async make(sheet, what, values) {
    const before = structuredClone(sheet);
    await this.#apply(what, values);
    this.#done.push({ what, values, before });
  }

  /** Takes back the last edit. */
  async undo() {
    const { what, values, before } = this.#done.pop() ?? {};
    if (what === ASK.ADD_CALL) await this.#apply(ASK.REMOVE_CALL, { index: before.calls.length });
    if (what === ASK.EDIT_CALL) await this.#apply(what, { index: values.index, call: before.calls[values.index] });
    // The others move down again, so the whole sheet is put back.
    if (what === ASK.REMOVE_CALL || what === ASK.TAKE_ANSWERS) await this.#apply(ASK.TAKE_ANSWERS, asFile(before));
    if (what === ASK.NO_INDICATION) await this.#apply(what, { on: before.no_recordable_indication });
  }
}

const asFile = (sheet) => ({ name: 'answers.json', bytes: new TextEncoder().encode(JSON.stringify(sheet)) });
