// The words of what is held in the hand, beyond place and beam, in Spanish.
export const HAND = Object.freeze({
  'hands.over_reference': 'Sobre la ganancia de referencia',
  'hands.over_reference.than': 'Sobre la ganancia de referencia de {reference} dB',
  'why.hands.over_reference': 'Lo que se suma a la ganancia de referencia; bajo cero, lo que se resta. Las lecturas en dB cuentan desde la referencia, así que no cambian con esto.',
  'gate.second.line': 'Segunda puerta: {at_least}{percent} % ({at_least}{db} dB), profundidad {depth_mm}, {leg}, recorrido {path_mm}, {offset_mm:+}',
  'gate.second.none': 'Segunda puerta: nada llega a su umbral.',
});
