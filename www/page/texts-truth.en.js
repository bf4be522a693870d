// The words of the truth on the bench, in English.
export const TRUTH = Object.freeze({
  'truth.show': 'Show where the flaws are',
  'truth.flaw': 'Flaw {n}: {kind}',
});
