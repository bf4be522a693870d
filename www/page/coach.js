// One line that says what to do next, from what has been done. It never looks at what the plate hides.
import { DRY_DB, isWhole, keepBench } from './calibration-check.js';
import { html, say } from './element.js';
import { scanningGain } from './gain.js';
import { lessonView } from './lesson.js';
import { number, signed, text } from './text.js';

/** Pause between two announcements to screen readers, ms. */
export const HUMANE_MS = 1500;
/** Part of what a side can show that counts as examined, percent. */
const EXAMINED_PERCENT = 95;
/** Part of the length that counts as one whole way along, percent. */
const ALONG_PERCENT = 97;
/** Until the probe has seen more of the length than this it has hardly been moved, mm. */
const BEGUN_MM = 30;
/** Slices of the length that differ by less count as seen alike, percent. */
const LITTLE_PERCENT = 5;

/** `recorded()` says whether the recorded scan is shown. */
export function coachView(session, ask, link, recorded) {
  const words = html('p', { class: 'coach-words' });
  const heard = html('p', { class: 'unseen', role: 'status' });
  const coach = html('section', { class: 'coach', 'aria-label': text('coach.title') },
    html('strong', {}, text('coach.title')), words,
    html('button', { type: 'button', class: 'quiet-button', onclick: ask }, text('coach.procedure')), heard);
  let asked = null;
  let of = null;

  /** What the bench is like; once is enough where nothing of it can change. */
  async function askBench() {
    const known = of === session.serial && session.bench;
    if (!session.open || asked === session.frame || (known && known.calibrated && known.always_wet)) return;
    [asked, of] = [session.frame, session.serial];
    keepBench(session, await session.calibrate('state'));
  }

  let step = '';
  let standing = 0;
  /** Another step is told once it has stood for a while; numbers that run along while the probe moves are no other step. */
  function announce(key, { n, side }) {
    const now = [session.serial, key.replace('_at', ''), n, side].join();
    if (now === step) return;
    step = now;
    clearTimeout(standing);
    standing = setTimeout(() => say(heard, `${text('coach.title')}: ${words.textContent}`), HUMANE_MS);
  }

  const lesson = lessonView(session, link);
  return {
    element: html('div', { class: 'guide' }, coach, lesson.element),
    update() {
      // In a lesson the lesson says what to do next.
      coach.hidden = Boolean(session.lesson);
      if (session.lesson) lesson.update();
      else {
        const [key, facts = {}] = advice(session, recorded());
        say(words, text(key, facts));
        announce(key, facts);
      }
      askBench();
    },
  };
}

/** The advice for the present state, of what is shown, live or recorded: [text key, values]. */
function advice(session, recorded) {
  const { about, pose, sheet, examined, frame, handed_in } = session;
  if (about.block) return ['coach.block'];
  if (handed_in) return [session.truth ? 'coach.truth' : 'coach.handed_in'];
  if (about.exam && !about.exam.help) return ['coach.exam'];
  if (session.lifted) return ['coach.lifted'];
  const { bench } = session;
  if (bench && !bench.calibrated && !isWhole(bench)) return ['coach.calibrate'];
  if (bench?.contact_loss_db >= DRY_DB) return ['coach.dry'];
  if (recorded && sheet.calls.length === 0) return ['coach.recorded', { look: text('exam.recorded.first') }];
  const level = about.procedure.recording_level_db;
  const reading = recorded ? null : frame?.reading;
  const called = sheet.calls.some((call, i) => reading && near(session, i, reading));
  const open = sheet.calls.findIndex((call, i) => !call.kind || missingEnd(session, i) || call.height_mm === null || !call.decision);
  const begun = (examined.along(pose.side) / 100) * about.length_mm > BEGUN_MM || reading || sheet.calls.length > 0;
  if (!begun) return ['coach.begin', { side: pose.side }];
  if (reading && !called && reading.amplitude_db >= level) {
    return ['coach.echo', { depth_mm: reading.depth_mm, level: signed(level) }];
  }
  if (open >= 0) {
    const call = sheet.calls[open];
    const end = missingEnd(session, open);
    if (end && reading?.clipped) return ['coach.clipped', { n: open + 1 }];
    const what = end ? `coach.${end}` : !call.kind ? 'coach.kind' : call.height_mm === null ? 'coach.height' : 'coach.decision';
    return [what, { n: open + 1 }];
  }
  const left = about.procedure.sides.filter((side) => examined.percent(side) < EXAMINED_PERCENT);
  if (left.includes(pose.side)) return onward(session);
  if (left.length > 0) return otherSide(session, left[0]);
  if (bench && !bench.calibrated && !bench.check) return ['coach.check'];
  if (sheet.calls.length === 0 && !sheet.no_recordable_indication) return ['coach.nothing'];
  return ['coach.hand_in'];
}

/** What is missing on this side: the rest of the length, gain, or another row nearer or farther. */
function onward(session) {
  const { about, pose: { side, index_offset_mm: offset }, examined, gain_db } = session;
  const [near, far] = about.procedure.index_offset_mm;
  const facts = { side, percent: examined.percent(side), near_mm: near, far_mm: far,
    offset_mm: offset, gain: number(scanningGain(session)) };
  if (gain_db + 0.05 < scanningGain(session)) return ['coach.gain', facts];
  const where = unseen(session, side);
  const what = examined.along(side) < ALONG_PERCENT ? 'coach.scan' : 'coach.rows';
  return where ? [`${what}_at`, { ...facts, ...where }] : [what, facts];
}

function otherSide(session, side) {
  const where = session.examined.met(side) > 0 && unseen(session, side);
  return where ? ['coach.other_side_at', { side, ...where }] : ['coach.other_side', { side }];
}

/** The longest stretch of which a side has seen least, {from_mm, to_mm}; null while nothing tells. */
function unseen({ about, examined }, side) {
  const slices = examined.of(side).along_percent;
  const least = Math.min(...slices);
  const runs = [];
  slices.forEach((percent, i) => {
    if (percent > least + LITTLE_PERCENT) return;
    if (runs.at(-1)?.to === i) runs.at(-1).to = i + 1;
    else runs.push({ from: i, to: i + 1 });
  });
  const longest = runs.reduce((best, run) => (run.to - run.from > best.to - best.from ? run : best), { from: 0, to: 0 });
  const mm = (slice) => (slice * about.length_mm) / slices.length;
  return longest.to > longest.from ? { from_mm: mm(longest.from), to_mm: mm(longest.to) } : null;
}

/** Start and end are where the echo falls to half, each set on purpose; which of them is missing yet: ends, start, end or null. */
function missingEnd({ edits }, index) {
  const { start_mm, end_mm } = edits.ends[index] ?? {};
  if (start_mm && end_mm) return null;
  return start_mm ? 'end' : end_mm ? 'start' : 'ends';
}

/** While the ends of a call are looked for, its echo is followed well beyond where it was called. */
function near(session, index, reading) {
  const call = session.sheet.calls[index];
  const beyond = missingEnd(session, index) ? 60 : 5;
  return reading.y_mm >= call.start_mm - beyond && reading.y_mm <= call.end_mm + beyond &&
    (call.depth_mm === null || Math.abs(call.depth_mm - reading.depth_mm) < 5);
}
