// Lengths are millimetres everywhere but before the reader's eyes and under the reader's hand: here alone they turn to inches.
import { preferred } from './preference.js';

export const UNITS = ['mm', 'in'];
const MM_PER_INCH = 25.4;
const wished = globalThis.location ? preferred('units') : null;

/** The unit of every length shown or typed. */
export const unit = UNITS.includes(wished) ? wished : 'mm';
const inches = unit === 'in';

/** A length as it is shown and typed. */
export const shownLength = (mm) => (inches ? mm / MM_PER_INCH : mm);
/** Decimals that show as much of it as these do in mm. */
export const lengthDecimals = (decimals) => (inches ? decimals + 2 : decimals);
/** What was typed, in mm to a tenth of a micrometre: a thousandth of an inch comes back as it was typed. */
export const keptLength = (value) => (inches ? Math.round(value * MM_PER_INCH * 10_000) / 10_000 : value);
/** A step that is a round number in the reader's unit: 1 mm, or 0.05 inch. */
export const stepLength = (mm) => (inches ? keptLength(mm * 0.05) : mm);
/** The nearest multiple of such a step. */
export const snapped = (mm, step_mm) => Math.round(mm / stepLength(step_mm)) * stepLength(step_mm);
/** What hands can hold to: a tenth of a millimetre, or a thousandth of an inch. */
export const heldLength = (mm) => (inches ? keptLength(Math.round((mm / MM_PER_INCH) * 1000) / 1000) : Math.round(mm * 10) / 10);
