// The keys of the bench where a recorded scan is shown: they act on what is seen, gain, leg, gate and cursor of the recording.
import { text } from './text.js';
import { stepLength } from './units.js';

const LEGS = 3;

/**
 * What a key does, or nothing: `keys(key, shift)`. Of `acts`, `call()`, `end(name)` and `tip(i)` are done at the cursor; `tell(words)` says
 * why a key does nothing; `live` are the keys that act on live pictures alone. `changed()` follows what is read anew.
 */
export function recordedKeys(recording, { call, end, tip, tell, live = '' }, changed) {
  function moveGate(step_mm) {
    const { sound_path_mm: span } = recording.shown;
    if (!span) return tell(text('recorded.no_gate'));
    const by = Math.min(Math.max(step_mm, -span[0]), recording.about.setting.range_mm - span[1]);
    return show({ sound_path_mm: span.map((mm) => mm + by) });
  }
  const show = (part) => recording.show(part).then(changed);

  return (key, shift) => {
    const { gain_db, leg } = recording.shown;
    const acts = {
      c: call, '[': () => end('start_mm'), ']': () => end('end_mm'), '<': () => tip(0), '>': () => tip(1),
      e: () => recording.toHighest().then(changed),
      g: () => show({ gain_db: gain_db + (shift ? -1 : 1) }),
      l: () => show({ leg: leg === null ? 1 : leg === LEGS ? null : leg + 1 }),
      ',': () => moveGate(-stepLength(0.5)), '.': () => moveGate(stepLength(0.5)),
    };
    const act = acts[key] ?? (live.includes(key) && (() => tell(text('recorded.live_key'))));
    return act && (() => recording.any && act());
  };
}
