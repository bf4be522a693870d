// Echoes as tones: the pitch goes with the height, so that an echo half as high (6 dB less) sounds an octave lower.

/** Pitch of an echo at 1 % of the screen, Hz: one at 80 % sounds at 880 Hz, one at 40 % at 440 Hz. */
export const HZ_PER_PERCENT = 11;
/** Lower echoes are silent; higher ones than the receiver tells apart sound as these, %. */
export const SOFTEST_PERCENT = 5;
const HIGHEST_PERCENT = 200;
/** The second note, of an echo at or above the recording level: a fifth above the first. */
export const SECOND_NOTE = 1.5;
/** A whole trace from its start to its end, s. */
export const SWEEP_S = 3;
/** Marks of the faces within it: high and short. */
export const TICK = Object.freeze({ hz: 3300, s: 0.03 });
/** Points of a sweep. */
const COLUMNS = 300;
const LOUDNESS = 0.16;
/** How fast the tone follows the echo, s. */
const FOLLOWS_S = 0.012;
/** The tone of the gate fades when nothing new is heard for so long, s. */
const LASTS_S = 1.2;

/** Pitch of an echo by its height, Hz. */
export const pitch = (percent) => HZ_PER_PERCENT * Math.min(HIGHEST_PERCENT, Math.max(SOFTEST_PERCENT, percent));

/** Low tones are made louder, as the ear and small loudspeakers want them. */
const loudness = (percent) => (percent < SOFTEST_PERCENT ? 0 : LOUDNESS * (pitch(percent) / 880) ** -0.3);

/** A voice of a room: an oscillator behind a loudness, silent at first. Triangles, since small loudspeakers drop low sines. */
function voice(room, type = 'triangle') {
  const [tone, level, side] = [room.createOscillator(), room.createGain(), room.createStereoPanner()];
  tone.type = type;
  level.gain.value = 0;
  tone.connect(level).connect(side).connect(room.destination);
  return { tone, level: level.gain, side: side.pan };
}

/** Highest part of a trace in each column of the sweep, %. */
function columnsOf({ percent, step_mm, range_mm }) {
  const heights = new Float32Array(COLUMNS);
  const count = Math.min(percent.length, Math.floor(range_mm / step_mm) + 1);
  for (let i = 0; i < count; i++) {
    const column = Math.min(COLUMNS - 1, Math.floor(((i * step_mm) / range_mm) * COLUMNS));
    heights[column] = Math.max(heights[column], Math.abs(percent[i]));
  }
  return heights;
}

/** Plays a trace once into a room, from left to right along its sound path. Within the gate a second note joins what reaches
 * the gate's threshold, and a tick marks each face that the beam meets. Returns when it ends, s. */
export function sweepInto(room, { trace, gate, faces_mm }, begin_s) {
  const heights = columnsOf(trace);
  const within = (i) => {
    const path_mm = ((i + 0.5) / COLUMNS) * trace.range_mm;
    return path_mm >= gate.start_mm && path_mm <= gate.start_mm + gate.length_mm && heights[i] >= gate.threshold_percent;
  };
  for (const [ratio, heard] of [[1, () => true], [SECOND_NOTE, within]]) {
    const { tone, level, side } = voice(room);
    tone.frequency.setValueCurveAtTime(heights.map((percent) => ratio * pitch(percent)), begin_s, SWEEP_S);
    level.setValueCurveAtTime(heights.map((percent, i) => (heard(i) ? loudness(percent) / ratio : 0)), begin_s, SWEEP_S);
    side.setValueCurveAtTime(new Float32Array([-1, 1]), begin_s, SWEEP_S);
    tone.start(begin_s);
    tone.stop(begin_s + SWEEP_S);
  }
  for (const path_mm of faces_mm.filter((one) => one < trace.range_mm)) {
    const { tone, level, side } = voice(room, 'sine');
    const at_s = begin_s + (path_mm / trace.range_mm) * SWEEP_S;
    [tone.frequency.value, level.value, side.value] = [TICK.hz, LOUDNESS / 2, (2 * path_mm) / trace.range_mm - 1];
    tone.start(at_s);
    tone.stop(at_s + TICK.s);
  }
  return begin_s + SWEEP_S;
}

/** The tone of the echo in the gate, in a room: `sound(percent, recordable)` with each frame, percent null for none. */
export function gateTone(room) {
  const voices = [1, SECOND_NOTE].map((ratio) => {
    const { tone, level } = voice(room);
    tone.start();
    return { tone, level, ratio };
  });
  return {
    sound(percent, recordable) {
      const now_s = room.currentTime;
      for (const { tone, level, ratio } of voices) {
        const wanted = percent === null || (ratio !== 1 && !recordable) ? 0 : loudness(percent) / ratio;
        if (percent !== null) tone.frequency.setTargetAtTime(ratio * pitch(percent), now_s, FOLLOWS_S);
        level.cancelScheduledValues(now_s);
        level.setTargetAtTime(wanted, now_s, FOLLOWS_S);
        level.setTargetAtTime(0, now_s + LASTS_S, 0.1);
      }
    },
  };
}
