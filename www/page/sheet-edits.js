// Edits of the answer sheet, one after the other: each can be taken back and done again, also after the page was opened anew.
import { ASK } from '../shared/messages.js';

/** More edits than this are not taken back. */
const MOST = 50;
/** A call with nothing filled in; the simulation leaves out what is empty. */
export const BLANK = { kind: null, start_mm: null, end_mm: null, offset_mm: null, depth_mm: null, height_mm: null,
  amplitude_db: null, side: null, leg: null, decision: null, remark: '', snapshot: null };
export const filled = (sheet) => ({ ...sheet, calls: sheet.calls.map((call) => ({ ...BLANK, ...call })) });
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

export class SheetEdits {
  #undo = [];
  #redo = [];
  /** Of each call, which ends were set on purpose: a call begins with both where it was called. */
  ends = [];

  /** Takes up what was kept beside a session; without it a call with two ends counts as measured. */
  begin(kept, sheet) {
    [this.#undo, this.#redo] = [kept?.undo ?? [], kept?.redo ?? []];
    this.ends = kept?.ends?.length === sheet.calls.length ? kept.ends : sheet.calls.map(measured);
  }

  /** What to keep, as plain data. */
  get kept() { return { undo: this.#undo, redo: this.#redo, ends: this.ends }; }

  get canUndo() { return this.#undo.length > 0; }
  get canRedo() { return this.#redo.length > 0; }

  /** Notes the sheet as it was before an edit, and which ends the edit set. */
  before(sheet, what, { index, call, set }, after) {
    this.#undo = [...this.#undo, this.#state(sheet)].slice(-MOST);
    this.#redo = [];
    this.ends = structuredClone(this.ends);
    if (what === ASK.TAKE_ANSWERS) this.ends = after.calls.map(measured);
    if (what === ASK.ADD_CALL) this.ends.push(measured(call));
    if (what === ASK.REMOVE_CALL) this.ends.splice(index, 1);
    if (what !== ASK.EDIT_CALL) return;
    for (const name of ['start_mm', 'end_mm']) {
      if (set ? set === name : call[name] !== sheet.calls[index][name]) this.ends[index][name] = true;
    }
  }

  /** The sheet to go back to from this one, or null. */
  undo(sheet) { return this.#step(this.#undo, this.#redo, sheet); }
  /** The sheet to go on to from this one, or null. */
  redo(sheet) { return this.#step(this.#redo, this.#undo, sheet); }

  #state(sheet) { return structuredClone({ sheet, ends: this.ends }); }

  #step(from, to, sheet) {
    const state = from.pop();
    if (!state) return null;
    to.push(this.#state(sheet));
    this.ends = state.ends;
    return state.sheet;
  }
}

/** Takes a sheet to another by the fewest questions of the log: [what, values], in order. */
export function stepsTo(now, target) {
  const steps = [];
  const clean = (on) => steps.push([ASK.NO_INDICATION, { on }]);
  if (now.no_recordable_indication && !target.no_recordable_indication) clean(false);
  for (let index = now.calls.length - 1; index >= target.calls.length; index--) steps.push([ASK.REMOVE_CALL, { index }]);
  target.calls.forEach((call, index) => {
    if (index >= now.calls.length) steps.push([ASK.ADD_CALL, { call }]);
    else if (!same(now.calls[index], call)) steps.push([ASK.EDIT_CALL, { index, call }]);
  });
  if (!now.no_recordable_indication && target.no_recordable_indication) clean(true);
  return steps;
}

function measured({ start_mm, end_mm }) {
  const two = start_mm !== null && end_mm !== null && end_mm - start_mm >= 1;
  return two ? { start_mm: true, end_mm: true } : {};
}
