// The words of language and units in Spanish.
export const CHOICES = Object.freeze({
  'choice.language': 'Idioma',
  'choice.units': 'Longitudes en',
  'choice.units.mm': 'milímetros',
  'choice.units.in': 'pulgadas',
  'unit.mm': 'mm',
  'unit.in': 'in',
  'unit.db': 'dB',
  'unit.deg': '°',
  'unit.percent': '%',
});
