// The recorded scan: from above, from the side, from the end, the frame at the cursor, and what is read there.
import { colourScale } from './colour-scale.js';
import { html, ownId, say, set } from './element.js';
import { button, numberField, readout, selectField } from './fields.js';
import { letters } from './keys.js';
import { frameView } from './recorded-frame.js';
import { recordedTrace } from './recorded-trace.js';
import { projectionView } from './recorded-projection.js';
import { recordedKeys } from './recorded-keys.js';
import { secondLine } from './second-reading.js';
import { number, signed, text } from './text.js';

/** `acts` are what buttons and keys do at the cursor (recorded-keys.js); without them it is looked at only. */
export function recordedView(recording, session, acts) {
  const projections = ['top', 'side', 'end'].map((name) => projectionView(recording, session, name));
  const frame = frameView(recording, session);
  const trace = recordedTrace(recording);
  const gain = numberField({ label: 'recorded.gain', unit: 'unit.db', step: 1, min: 0, max: 110, put: (gain_db) => recording.show({ gain_db }) });
  const colouring = selectField({ label: 'recorded.colouring', options: ['amplitude', 'depth'].map((c) => [c, text(`recorded.colouring.${c}`)]),
    put: (value) => recording.show({ colouring: value, threshold_percent: value === 'depth' ? Math.max(20, recording.shown.threshold_percent) : 0 }) });
  const leg = selectField({ label: 'section.leg', options: [['', text('section.leg.all')], ...[1, 2, 3].map((n) => [String(n), text(`section.leg.${n}`)])],
    put: (value) => recording.show({ leg: value ? Number(value) : null }) });
  const pass = selectField({ label: 'recorded.pass', options: [['', text('recorded.pass.all')]], put: (value) => recording.show({ pass: value === '' ? null : Number(value) }) });
  const threshold = numberField({ label: 'recorded.threshold', unit: 'unit.percent', step: 5, min: 0, max: 100, decimals: 0, put: (threshold_percent) => recording.show({ threshold_percent }) });
  const depths = [0, 1].map((i) => numberField({ label: `recorded.depth.${i}`, unit: 'unit.mm', step: 0.5, optional: true, put: (mm) => {
    const { thickness_mm } = recording.about.setting;
    const span = [...(recording.shown.depth_mm ?? [0, thickness_mm])];
    span[i] = mm ?? [0, thickness_mm][i];
    recording.show({ depth_mm: span[0] <= span[1] ? span : span.reverse() });
  } }));
  const scale = colourScale();
  const rows = Object.fromEntries(['amplitude', 'depth', 'path', 'ahead', 'offset'].map((name) => [name, readout(`reading.${name}`)]));
  rows.along = readout('recorded.along');
  const note = html('p', { class: 'quiet' });
  const second = secondLine();
  let asked = 0;
  const highest = button({ label: 'recorded.highest', class: 'small', press: () => recording.toHighest() });
  const into = acts ? button({ label: 'recorded.call', class: 'main', press: acts.call }) : null;
  const keys = acts && recordedKeys(recording, acts, () => projections.find((view) => view.told()) ?? projections[0].tell());
  const id = ownId('recorded-title');
  const element = html('section', { class: 'card recorded', 'aria-labelledby': id },
    html('header', {}, html('h2', { id }, text('recorded.title')), scale.element, html('div', { class: 'row' }, highest, into)),
    html('div', { class: 'recorded-tools' }, pass.element, leg.element, colouring.element, gain.element, threshold.element, depths.map((depth) => depth.element)),
    projections[0].element, projections[1].element,
    html('div', { class: 'recorded-pair' }, projections[2].element, frame.element, trace.element,
      html('div', { class: 'recorded-read' }, html('h3', {}, text('recorded.at')), html('dl', { class: 'readings' }, Object.values(rows).map((row) => row.element)),
        second.element, note, html('p', { class: 'quiet' }, text('recorded.hint')))));

  if (keys) element.addEventListener('keydown', (event) => onKey(event, keys));

  let painting = false;
  let again = false;
  /** All pictures anew; what comes while they are made is made afterwards, once. */
  async function repaint() {
    if (painting) {
      again = true;
      return;
    }
    painting = true;
    do {
      again = false;
      if (element.checkVisibility() && recording.any) for (const view of projections) await view.repaint();
    } while (again);
    painting = false;
  }

  function passes() {
    const list = recording.about?.passes ?? [];
    pass.input.replaceChildren(html('option', { value: '' }, text('recorded.pass.all')), ...list.map((course, i) =>
      html('option', { value: String(i) }, text('recorded.pass.one', { n: i + 1, side: course.side, offset_mm: course.index_offset_mm }))));
    pass.show(recording.shown.pass === null ? '' : String(recording.shown.pass));
  }

  /** The second gate of the hand, on the recorded beam at the cursor. */
  async function readSecond() {
    const gate = session.open ? session.second_gate : null;
    const now = ++asked;
    const found = gate && await recording.gateReading(gate);
    if (now === asked) second.show(gate, found);
  }

  function readings() {
    readSecond();
    const { reading, cursor } = recording;
    rows.along.show(text('mm', { value_mm: cursor.y_mm }));
    if (into) set(into, { 'aria-disabled': reading && session.open && !session.handed_in ? null : 'true' });
    if (!reading) {
      for (const name of ['amplitude', 'path', 'ahead']) rows[name].show('–');
      rows.depth.show(text('mm', { value_mm: cursor.depth_mm }));
      rows.offset.show(text('mm.signed', { value_mm: cursor.offset_mm }));
      return say(note, text('recorded.silent'));
    }
    rows.amplitude.show(text('reading.amplitude.value', { at_least: reading.clipped ? text('reading.at_least') : '',
      percent: number(reading.amplitude_percent, 0), db: signed(reading.amplitude_db) }));
    rows.depth.show(text('reading.depth.value', { depth_mm: reading.depth_mm, leg: text(`leg.${reading.leg}`) }));
    rows.path.show(text('mm', { value_mm: reading.sound_path_mm }));
    rows.ahead.show(text('mm', { value_mm: reading.surface_distance_mm }));
    const side = Math.abs(reading.offset_mm) < 0.05 ? text('offset.centre') : text('offset.side', { side: reading.offset_mm > 0 ? 'B' : 'A' });
    rows.offset.show(text('reading.offset.value', { offset_mm: reading.offset_mm, side }));
    const place = recording.place;
    const of = recording.about.passes[place.pass];
    say(note, text('recorded.from', { pass: place.pass + 1, side: of.side, angle: number(reading.angle_deg), leg: text(`leg.${reading.leg}`) }));
  }

  function update() {
    if (!recording.any || !element.checkVisibility()) return;
    gain.show(recording.shown.gain_db);
    threshold.show(recording.shown.threshold_percent);
    depths.forEach((depth, i) => depth.show((recording.shown.depth_mm ?? [0, recording.about.setting.thickness_mm])[i]));
    colouring.show(recording.shown.colouring);
    leg.show(recording.shown.leg === null ? '' : String(recording.shown.leg));
    scale.show(recording.about.colours, recording.shown.colouring === 'depth'
      ? text('recorded.legend.depth', { depth_mm: recording.about.setting.thickness_mm }) : text('section.legend.high'));
    readings();
    for (const view of projections) view.update();
    frame.update();
    trace.update();
  }

  recording.addEventListener('change', update);
  recording.addEventListener('lines', repaint);
  recording.addEventListener('passes', () => {
    passes();
    frame.again();
    repaint();
  });
  session.addEventListener('sheet', update);
  if (recording.about) passes();
  return { element, update() { update(); repaint(); }, resized() { repaint(); update(); }, focus: () => projections[0].focus(), key: keys };
}

function onKey(event, keys) {
  if (!letters.on || event.ctrlKey || event.metaKey || event.altKey || event.target.matches('input, select')) return;
  const act = keys(event.key.toLowerCase(), event.shiftKey);
  if (!act) return;
  event.preventDefault();
  event.stopPropagation();
  act();
}
