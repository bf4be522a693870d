// What a check of the calibration told, and what follows from it.
import { html } from './element.js';
import { number, text } from './text.js';

/** Contact that takes more than this is as good as none, dB. */
export const DRY_DB = 12;

/** Whether all that a reading needs is calibrated, and the encoder. */
export function isWhole({ calibration: made }) {
  return Boolean(made?.speed_mm_per_us && made.beams?.length && made.angles_deg?.length && made.encoder_scale &&
    made.sensitivity_db?.length && made.path_gain?.length);
}

/** Keeps what the bench is known to be; whoever advises hears of it when it matters. */
export function keepBench(session, bench) {
  const matters = (known) => known && String([known.calibrated, isWhole(known), Boolean(known.check), known.contact_loss_db >= DRY_DB]);
  const was = matters(session.bench);
  session.bench = bench;
  if (was !== matters(bench)) session.change();
  return bench;
}

/** How the bench reads now. */
export function checkSays({ sensitivity_db, range_mm, range_percent }) {
  return text('calibration.recheck.reads', { db: number(sensitivity_db), path_mm: range_mm, percent: number(range_percent) });
}

/** The verdict, and where the weld has to be scanned again. */
export function checkResult(told) {
  const places = told.again.map(([side, [from, to]]) => html('li', {},
    text('calibration.recheck.place', { side, from_mm: from, to_mm: to })));
  return html('div', { class: `check-result ${told.good ? 'good' : 'not-good'}`, tabindex: -1 },
    html('p', { class: 'check-words' }, text(told.good ? 'calibration.recheck.good' : 'calibration.recheck.bad')),
    html('p', {}, checkSays(told)),
    told.good ? null : html('p', {}, text('calibration.recheck.then')),
    places.length ? [html('p', {}, text('calibration.recheck.again')), html('ul', {}, places)] : null);
}
