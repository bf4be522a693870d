// The words of the echoes to be heard, in Spanish.
export const HEARING = Object.freeze({
  'hear.title': 'Oír los ecos',
  'hear.tone': 'El eco de la puerta como un tono',
  'hear.sweep': 'Oír la traza una vez',
  'hear.words': 'Cuanto más alto el eco, más agudo el tono: la mitad de altura, 6 dB menos, suena una octava más grave. Una segunda nota se une desde el nivel de registro.',
  'keys.hear': 'Oír la traza una vez, en tonos',
  'why.hear.tone': 'Mientras te mueves, un tono sigue al eco más alto de la puerta: el 80 % suena a 880 hercios y el 40 %, una octava más grave. Desde el nivel de registro suena con él una segunda nota. Se apaga cuando te quedas quieto.',
  'why.hear.sweep': 'Tres segundos desde el principio de la traza, a la izquierda, hasta su final, a la derecha. Cada eco es un tono según su altura; un chasquido corto dice dónde llega el haz a una cara; en la puerta, una segunda nota acompaña a lo que alcanza el umbral.',
});
