// The words of what is held in the hand, beyond place and beam, in English.
export const HAND = Object.freeze({
  'hands.over_reference': 'Above the reference gain',
  'hands.over_reference.than': 'Above the reference gain of {reference} dB',
  'why.hands.over_reference': 'What is added to the reference gain; below zero, what is taken away. Readings in dB count from the reference, so they stay when this changes.',
  'hands.lift': 'Lift the probe off',
  'hands.lift.down': 'Set the probe down',
  'why.hands.lift': 'Lifted off, the probe has no contact: no echoes, no film used up, and a recorded scan misses its lines.',
  'contact.lifted': 'Lifted off: no contact. Set the probe down again<: U|>.',
  'coach.lifted': 'The probe is lifted off, so no sound goes into the plate. Set it down: <U, or |>the button in the panel Scan.',
  'plan.place.lifted': '{y_mm} along the weld, index offset {offset_mm}, side {side}, {face}, lifted off',
  'keys.lift': 'Lift the probe off, set it down',
  'gate.second.line': 'Second gate: {at_least}{percent} % ({at_least}{db} dB), depth {depth_mm}, {leg}, path {path_mm}, {offset_mm:+}',
  'gate.second.none': 'Second gate: nothing reaches its threshold.',
});
