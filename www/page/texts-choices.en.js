// The words of language and units in English.
export const CHOICES = Object.freeze({
  'choice.language': 'Language',
});
