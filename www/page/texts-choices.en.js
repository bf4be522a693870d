// The words of language and units in English.
export const CHOICES = Object.freeze({
  'choice.language': 'Language',
  'choice.units': 'Lengths in',
  'choice.units.mm': 'millimetres',
  'choice.units.in': 'inches',
  'unit.mm': 'mm',
  'unit.in': 'in',
  'unit.db': 'dB',
  'unit.deg': '°',
  'unit.percent': '%',
});
