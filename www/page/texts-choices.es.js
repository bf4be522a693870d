// The words of language and units in Spanish.
export const CHOICES = Object.freeze({
  'choice.language': 'Idioma',
});
