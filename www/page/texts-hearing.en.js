// The words of the echoes to be heard, in English.
export const HEARING = Object.freeze({
  'hear.title': 'Hear the echoes',
  'hear.tone': 'The echo in the gate as a tone',
  'hear.sweep': 'Play the trace once',
  'hear.words': 'The higher the echo, the higher the tone: half the height, 6 dB less, sounds an octave lower. A second note joins at the recording level.',
  'keys.hear': 'Play the trace once as tones',
  'why.hear.tone': 'While you move, a tone follows the highest echo in the gate: 80 % sounds at 880 hertz, 40 % an octave lower. From the recording level on, a second note sounds with it. It fades when you stand still.',
  'why.hear.sweep': 'Three seconds from the start of the trace at the left to its end at the right. Each echo is a tone by its height; a short tick tells where the beam meets a face; in the gate a second note sounds with what reaches the threshold.',
});
