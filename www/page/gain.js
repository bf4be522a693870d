// The gain in the hand: the reference gain of the procedure and what is added to it.

/** Gain for scanning, dB. */
export const scanningGain = ({ about: { procedure } }) => procedure.reference_gain_db + procedure.scanning_gain_db;

/** What stands above the reference gain, dB; negative below it. */
export const overReference = ({ gain_db, about: { procedure } }) => gain_db - procedure.reference_gain_db;
