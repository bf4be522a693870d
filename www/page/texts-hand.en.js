// The words of what is held in the hand, beyond place and beam, in English.
export const HAND = Object.freeze({
  'hands.over_reference': 'Above the reference gain',
  'hands.over_reference.than': 'Above the reference gain of {reference} dB',
  'why.hands.over_reference': 'What is added to the reference gain; below zero, what is taken away. Readings in dB count from the reference, so they stay when this changes.',
  'gate.second.line': 'Second gate: {at_least}{percent} % ({at_least}{db} dB), depth {depth_mm}, {leg}, path {path_mm}, {offset_mm:+}',
  'gate.second.none': 'Second gate: nothing reaches its threshold.',
});
