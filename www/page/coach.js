// One line that says what to do next, from what has been done. It never looks at what the plate hides.
import { html, say } from './element.js';
import { number, signed, text } from './text.js';

/** Part of what a side can show that counts as examined, percent. */
const EXAMINED_PERCENT = 95;
/** Part of the length that counts as one whole way along, percent. */
const ALONG_PERCENT = 97;

export function coachView(session, ask) {
  const words = html('p', { class: 'coach-words' });
  const element = html('section', { class: 'coach', 'aria-label': text('coach.title') },
    html('strong', {}, text('coach.title')), words,
    html('button', { type: 'button', class: 'quiet-button', onclick: ask }, text('coach.procedure')));
  return { element, update: () => say(words, advice(session)) };
}

/** The advice for the present state. */
export function advice(session) {
  const { about, pose, sheet, examined, frame, handed_in } = session;
  if (about.block) return text('coach.block');
  if (handed_in) return text('coach.handed_in');
  if (about.exam && !about.exam.help) return text('coach.exam');
  const level = about.procedure.recording_level_db;
  const reading = frame?.reading;
  const called = sheet.calls.some((call) => reading && near(call, reading));
  const open = sheet.calls.findIndex((call) => !call.kind || short(call) || call.height_mm === null || !call.decision);
  const started = examined.met(pose.side) >= 2;
  if (!started) return text('coach.begin', { side: pose.side });
  if (reading && !called && reading.amplitude_db >= level) {
    return text('coach.echo', { depth: number(reading.depth_mm), level: signed(level) });
  }
  if (open >= 0) {
    const call = sheet.calls[open];
    if (short(call) && reading?.clipped) return text('coach.clipped', { n: open + 1 });
    const what = short(call) ? 'coach.ends' : !call.kind ? 'coach.kind' : call.height_mm === null ? 'coach.height' : 'coach.decision';
    return text(what, { n: open + 1 });
  }
  const left = about.procedure.sides.filter((side) => examined.percent(side) < EXAMINED_PERCENT);
  if (left.includes(pose.side)) return onward(session);
  if (left.length > 0) return text('coach.other_side', { side: left[0] });
  if (sheet.calls.length === 0 && !sheet.no_recordable_indication) return text('coach.nothing');
  return text('coach.hand_in');
}

/** What is missing on this side: the rest of the length, gain, or another row nearer or farther. */
function onward({ about, pose, examined, gain_db }) {
  const { reference_gain_db, scanning_gain_db, index_offset_mm: [near, far] } = about.procedure;
  const facts = { side: pose.side, percent: examined.percent(pose.side), near: number(near, 0), far: number(far, 0),
    offset: number(pose.index_offset_mm, 0), gain: number(reference_gain_db + scanning_gain_db) };
  if (gain_db + 0.05 < reference_gain_db + scanning_gain_db) return text('coach.gain', facts);
  return text(examined.along(pose.side) < ALONG_PERCENT ? 'coach.scan' : 'coach.rows', facts);
}

/** Start and end are where the echo falls to half; a single place is neither. */
const short = (call) => call.start_mm === null || call.end_mm === null || call.end_mm - call.start_mm < 1;

/** While the ends of a call are looked for, its echo is followed well beyond where it was called. */
function near(call, reading) {
  const beyond = short(call) ? 60 : 5;
  return reading.y_mm >= call.start_mm - beyond && reading.y_mm <= call.end_mm + beyond &&
    (call.depth_mm === null || Math.abs(call.depth_mm - reading.depth_mm) < 5);
}
