// The words of the truth on the bench, in Spanish.
export const TRUTH = Object.freeze({
  'truth.show': 'Mostrar dónde están las imperfecciones',
  'truth.flaw': 'Imperfección {n}: {kind}',
});
