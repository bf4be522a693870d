// Arithmetic for sizing at the cursor of the recorded scan: drop along, drop through the thickness, two tips, highest echo.
import { dropCurve } from './drop-curve.js';
import { html, ownId, say, set } from './element.js';
import { button, numberField } from './fields.js';
import { tenth } from './hold.js';
import { placeWords } from './sheet.js';
import { text } from './text.js';
import { heldLength } from './units.js';

const DROP_DB = 6;
/** How far along the curve looks on either side of the cursor, mm. */
const ALONG_MM = 50;

export function sizingView(session, recording, editing) {
  let beside_mm = 3;
  const look = numberField({ label: 'sizing.beside', unit: 'unit.mm', step: 0.5, min: 0.5, max: 30, put: (mm) => { beside_mm = Math.min(30, Math.max(0.5, mm)); later(); } });
  const [along, deep] = [dropCurve('sizing.along'), dropCurve('sizing.deep')];
  const tips = [null, null];
  const tipWords = html('p', { role: 'status' });
  function tip(i) {
    const { depth_mm, y_mm } = recording.reading ?? recording.cursor;
    tips[i] = { depth_mm, y_mm };
    update();
  }
  const tipButtons = [0, 1].map((i) => button({ label: `sizing.tip.${i + 1}`, class: 'small', press: () => tip(i) }));
  const into = (label, part) => button({ label, class: 'small', press: async () => {
    const index = editing();
    if (index === null || session.handed_in) return;
    await session.editCall(index, { ...session.sheet.calls[index], ...part() });
  } });
  const ends = into('sizing.into.ends', () => ({ start_mm: heldLength(along.ends[0]), end_mm: heldLength(along.ends[1]) }));
  const height = into('sizing.into.height', () => ({ height_mm: heldLength(deep.ends[1] - deep.ends[0]), depth_mm: heldLength((deep.ends[0] + deep.ends[1]) / 2) }));
  const pair = into('sizing.into.height', () => ({ height_mm: heldLength(tipHeight()), depth_mm: heldLength((tips[0].depth_mm + tips[1].depth_mm) / 2) }));
  const peak = into('sizing.into.peak', () => peakPart(recording));
  const target = html('p', { class: 'quiet', role: 'status' });
  const id = ownId('sizing-title');
  const element = html('section', { class: 'card sizing', 'aria-labelledby': id },
    html('h2', { id }, text('sizing.title')), html('p', { class: 'quiet' }, text('sizing.words')), look.element,
    along.element, ends, deep.element, height,
    html('h3', {}, text('sizing.tips')), html('div', { class: 'row' }, tipButtons), tipWords, pair,
    html('h3', {}, text('sizing.peak')), peak, target);
  const tipHeight = () => Math.abs(tips[0].depth_mm - tips[1].depth_mm);

  let waiting = 0;
  let serial = 0;
  function later() {
    clearTimeout(waiting);
    waiting = setTimeout(() => element.checkVisibility() && measure(), 120);
  }
  /** Measures at the cursor; resolves with the ends along the weld, or null. */
  async function measure() {
    if (!recording.any) return null;
    const now = ++serial;
    const { cursor, place } = recording;
    const near = (mm, by) => [mm - by, mm + by];
    const box = recording.selection({ pass: place?.pass ?? recording.shown.pass, offset_mm: near(cursor.offset_mm, beside_mm) });
    const [a, d] = await Promise.all([
      recording.curve('along', { ...box, depth_mm: near(cursor.depth_mm, beside_mm), along_mm: near(cursor.y_mm, ALONG_MM) }, DROP_DB),
      recording.curve('deep', { ...box, along_mm: near(cursor.y_mm, 0.5) }, DROP_DB)]);
    const found = a?.ends_mm?.map(heldLength) ?? null;
    if (now !== serial) return found;
    along.show(a, cursor.y_mm);
    deep.show(d, cursor.depth_mm);
    update();
    return found;
  }

  function update() {
    look.show(beside_mm);
    const index = editing();
    const can = index !== null && !session.handed_in;
    const able = (what, on) => set(what, { 'aria-disabled': can && on ? null : 'true' });
    able(ends, along.ends);
    able(height, deep.ends);
    able(pair, tips[0] && tips[1]);
    able(peak, recording.reading);
    say(target, can ? `${text('sizing.target', { n: index + 1 })} ${placeWords(session.sheet.calls[index])}` : text('sizing.no_target'));
    say(tipWords, tips[0] && tips[1] ? text('sizing.tips.height', { a_mm: tips[0].depth_mm, b_mm: tips[1].depth_mm, height_mm: tipHeight() })
      : text(tips[0] || tips[1] ? 'sizing.tips.one' : 'sizing.tips.none'));
  }

  let before = '';
  recording.addEventListener('change', () => {
    const { cursor, shown } = recording;
    const key = [cursor.y_mm, cursor.offset_mm, cursor.depth_mm, shown.gain_db, shown.leg, shown.pass].join();
    if (key !== before) later();
    before = key;
  });
  session.addEventListener('open', () => { tips.fill(null); });
  return { element, update() { update(); later(); }, measuredEnds: measure, tip };
}

/** What the cursor reads, as parts of a call. */
export function peakPart(recording) {
  const { reading, place } = recording;
  return { amplitude_db: tenth(reading.amplitude_db), offset_mm: heldLength(reading.offset_mm), depth_mm: heldLength(reading.depth_mm),
    side: recording.about.passes[place.pass].side, leg: reading.leg, snapshot: reading.snapshot };
}
