// The place that calls and their ends are taken from: what is shown is what is meant, the probe with its gate or the cursor of the recorded scan.
import { peakPart } from './sizing-panel.js';
import { text } from './text.js';
import { heldLength } from './units.js';

// Both places alike: `y_mm()` is where, `reading()` what is read there or null; `call()` the parts of a new call from it and
// `peak()` those without the ends, null where nothing is read; `blank()` the parts of a call without an echo. `sized` says
// whether a new call has its ends already.

/** At the probe, with what its gate reads. */
export const atProbe = (session) => ({
  sized: false,
  y_mm: () => session.pose.y_mm,
  reading: () => session.frame?.reading ?? null,
  call: () => session.fromGate(),
  peak: async () => {
    const call = await session.fromGate();
    if (!call) return null;
    const { depth_mm, offset_mm, amplitude_db, side, leg, snapshot } = call;
    return { depth_mm, offset_mm, amplitude_db, side, leg, snapshot };
  },
  blank: () => ({ start_mm: session.pose.y_mm, end_mm: session.pose.y_mm, side: session.pose.side }),
  words: { head: 'reading.title', empty: 'sheet.empty', peak: 'call.from_gate', none: 'notice.empty_gate', called: 'notice.called' },
});

/** At the cursor of the recorded scan; a call is as long as the echo stands above half its height, which `sizing` measures. */
export function atCursor(recording, sizing) {
  const y_mm = () => heldLength(recording.cursor.y_mm);
  return {
    sized: true,
    y_mm,
    reading: () => recording.reading,
    async call() {
      if (!recording.reading) return null;
      const [from, peak] = [y_mm(), peakPart(recording)];
      const [start_mm, end_mm] = await sizing.measuredEnds() ?? [from, from];
      return { start_mm, end_mm, ...peak };
    },
    peak: () => recording.reading && peakPart(recording),
    blank: () => ({ start_mm: y_mm(), end_mm: y_mm() }),
    words: { head: 'recorded.at', empty: 'exam.recorded.empty', peak: 'exam.recorded.peak', none: 'recorded.silent', called: 'recorded.called', endless: 'recorded.called.endless' },
  };
}

/** Calls what is read at a place; resolves with the index of the call, or null where there is none. */
export async function callAt(session, place, notice) {
  if (session.handed_in) return notice(text('coach.handed_in')), null;
  const part = await place.call();
  if (!part) return notice(text(place.words.none)), null;
  const index = await session.addCall(part);
  const words = part.start_mm === part.end_mm ? place.words.endless ?? place.words.called : place.words.called;
  notice(text(words, { n: index + 1, from_mm: part.start_mm, to_mm: part.end_mm }));
  return index;
}
