// The words of the line that says what to do next, in English.
export const COACH = Object.freeze({
  'coach.title': 'Next step',
  'coach.procedure': 'Written procedure',
  'coach.block': 'A reference block: its holes, notches and radii are drawn and known. Move the probe with ← and →, or drag the wedge, until an echo stands highest; put the gate on it and compare the reading with the drawing.',
  'coach.begin': 'Move the probe along the weld: drag it, or press →. You are on side {side}. Cap and root echo everywhere; a flaw comes and goes.',
  'coach.echo': 'An echo above the recording level ({level} dB) is in the gate at depth {depth} mm. Is there one at the same depth and the same distance from the centre all along the weld? Then it is cap or root. If not, call it: button Call, or C.',
  'coach.kind': 'Call {n}: choose its kind. Skew, move in and out, look from the other side: how does the echo change?',
  'coach.ends': 'Call {n}: move along to where the echo has fallen by half and press [ for the start, then to the other end and press ].',
  'coach.height': 'Call {n}: give its height. Compare the depths of its top and bottom in the gate.',
  'coach.decision': 'Call {n}: accept or reject? The written procedure tells the rule.',
  'coach.scan': 'Go on along side {side}: sound has met {percent} % of what this side can show. Press N to put the gate on the next echo.',
  'coach.rows': 'Once along side {side} shows only a part: {percent} % so far. Go along again with the wedge front nearer or farther (now {offset} mm; the procedure allows {near} to {far}).',
  'coach.gain': 'Scan with {gain} dB, the scanning gain: what you pass with less counts as not examined.',
  'coach.other_side': 'Now scan from side {side} (press S): a face that is dark from here may answer from there.',
  'coach.nothing': 'Both sides are examined and nothing is called. If nothing is to be recorded, say so on the sheet.',
  'coach.hand_in': 'These calls are complete, and both sides are examined; only you can say whether there are more. Then hand in.',
  'coach.handed_in': 'Handed in. You may still move the probe and look.',
});
