// The words of what is held in the hand, beyond place and beam, in Spanish.
export const HAND = Object.freeze({
  'hands.over_reference': 'Sobre la ganancia de referencia',
  'hands.over_reference.than': 'Sobre la ganancia de referencia de {reference} dB',
  'why.hands.over_reference': 'Lo que se suma a la ganancia de referencia; bajo cero, lo que se resta. Las lecturas en dB cuentan desde la referencia, así que no cambian con esto.',
  'hands.lift': 'Levantar el palpador',
  'hands.lift.down': 'Apoyar el palpador',
  'why.hands.lift': 'Levantado, el palpador no tiene contacto: no hay ecos, no se gasta la película y a un barrido registrado le faltan sus líneas.',
  'contact.lifted': 'Levantado: sin contacto. Vuelve a apoyar el palpador<: U|>.',
  'coach.lifted': 'El palpador está levantado y ningún sonido entra en la chapa. Apóyalo: <U, o |>el botón del panel Explorar.',
  'plan.place.lifted': '{y_mm} a lo largo de la soldadura, distancia al eje {offset_mm}, lado {side}, {face}, levantado',
  'keys.lift': 'Levantar el palpador, apoyarlo',
  'gate.second.line': 'Segunda puerta: {at_least}{percent} % ({at_least}{db} dB), profundidad {depth_mm}, {leg}, recorrido {path_mm}, {offset_mm:+}',
  'gate.second.none': 'Segunda puerta: nada llega a su umbral.',
});
