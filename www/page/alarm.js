// The alarm of the gates, heard: a soft tone while something stands in one, made by the browser.

const TONE_HZ = 660;
const LOUDNESS = 0.06;
/** The tone ends by itself when no frame says that the echo is still there, s. */
const LASTS_S = 0.35;

export function alarmSound() {
  let room = null;
  let loudness = null;
  let on = false;

  function begin() {
    if (room) return;
    room = new AudioContext();
    loudness = room.createGain();
    loudness.gain.value = 0;
    loudness.connect(room.destination);
    const tone = room.createOscillator();
    tone.frequency.value = TONE_HZ;
    tone.connect(loudness);
    tone.start();
  }

  return {
    /** Switches it on or off; on comes from a click or key, as browsers ask for. */
    use(wanted) {
      on = wanted;
      if (on) begin();
      else loudness?.gain.setTargetAtTime(0, room.currentTime, 0.01);
    },
    /** Something stands in a gate, or nothing. */
    sound(standing) {
      if (!on) return;
      loudness.gain.cancelScheduledValues(room.currentTime);
      loudness.gain.setTargetAtTime(standing ? LOUDNESS : 0, room.currentTime, 0.01);
      if (standing) loudness.gain.setTargetAtTime(0, room.currentTime + LASTS_S, 0.03);
    },
  };
}
