// Why a file was refused, in Spanish: the simulation's own sentences, found and expected apart, with {values} as they stand: {w} is
// one word, {v} and {u} are a number, a quotation or one word, {s} is a sentence of its own, others anything. The first that fits is taken.
// Terms from memory: a practitioner should read them.

export { FOUND } from './refusals-found.es.js';
export { EXPECTED } from './refusals-expected.es.js';

/** Words among the values, whole or within. */
export const WORDS = Object.freeze({
  'lack of side-wall fusion': 'falta de fusión lateral', 'lack of inter-run fusion': 'falta de fusión entre pasadas',
  'lack of root fusion': 'falta de fusión en la raíz', 'incomplete penetration': 'falta de penetración',
  'centreline crack': 'grieta en la línea central', 'transverse crack': 'grieta transversal', 'root crack': 'grieta en la raíz',
  'toe crack': 'grieta al pie del cordón', 'slag line': 'escoria alineada', 'slag inclusion': 'inclusión de escoria',
  'single pore': 'poro aislado', 'pore cluster': 'nido de poros', 'line of pores': 'poros alineados',
  'single V': 'V simple', 'double V': 'V doble', 'single bevel': 'bisel simple', 'double bevel': 'bisel doble', 'single J': 'J simple',
  'square': 'de bordes rectos', 'the bevel': 'el bisel', 'the root face': 'el talón',
  "the run's crown stands above its edges": 'lo que la corona de la pasada sobresale de sus bordes',
  'weld and its heat-affected zone': 'cordón y su zona afectada por el calor', 'weld': 'cordón',
  'degrees': 'grados', 'millimetres': 'milímetros', 'millimetres per microsecond': 'milímetros por microsegundo',
  'decibels': 'decibelios', 'decibels per millimetre': 'decibelios por milímetro', 'grams per cubic centimetre': 'gramos por centímetro cúbico',
  'megahertz': 'megahercios', 'per cent': 'por ciento', 'minutes': 'minutos', 'characters': 'caracteres', 'microseconds': 'microsegundos',
  'none': 'ninguna', 'missing': 'ausente',
});

/** Between the two. */
export const BETWEEN = '; se esperaba: ';
