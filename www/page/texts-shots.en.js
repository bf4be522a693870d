// The words of what calls were made from and of what flaws show, in English.
export const SHOTS = Object.freeze({
  'shot.title': 'What this call was made from',
  'shot.wait': 'The picture is being computed again …',
  'shot.none': 'This picture cannot be computed again.',
  'shot.there': 'Put the probe back there',
  'sight.caption': 'Flaw {n}: what was possible, and what this session had',
  'sight.best': 'Best possible',
  'sight.had': 'You had at best',
  'sight.nothing': 'nothing of it',
  'sight.height': 'Echo',
  'sight.from': 'From',
  'sight.beam': 'Beam',
  'sight.probe': 'Probe',
  'sight.when': 'After',
  'sight.sides': 'Show me flaw {n} from both sides',
  'sight.side': 'Side {side} at its best: {db} dB',
});
