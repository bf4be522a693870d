// The two gates: where they lie, what they read at, and an alarm when something stands in one.
import { alarmSound } from './alarm.js';
import { html, say } from './element.js';
import { numberField, readout, selectField } from './fields.js';
import { number, signed, text } from './text.js';

const POINTS = ['peak', 'flank'];
/** The second gate as it is first switched on: this far behind the first one, mm. */
const BEHIND_MM = 5;

export function gatesView(session) {
  const first = gateFields('hands.gate', 0, (gate) => session.adjust({ gate }));
  const second = gateFields('gate.second', 1, (part) => session.adjust({ second_gate: { ...session.second_gate, ...part } }));
  const use = html('input', { type: 'checkbox', onchange: () => session.adjust({ second_gate: use.checked ? behind(session.gate) : null }) });
  const heard = html('input', { type: 'checkbox', onchange: () => sound.use(heard.checked) });
  const sound = alarmSound();
  const alarms = [0, 1].map(() => html('p', { class: 'alarm' }));
  const rows = { amplitude: readout('reading.amplitude'), depth: readout('reading.depth'), path: readout('reading.path'),
    ahead: readout('reading.ahead'), offset: readout('reading.offset'), between: readout('gate.between') };
  const readings = html('dl', { class: 'readings', 'aria-label': text('gate.second.readings') }, Object.values(rows).map((row) => row.element));
  const more = html('div', { class: 'second-gate' }, second.element, alarms[1], readings);
  const element = html('div', { class: 'gates' }, first.element, alarms[0],
    html('label', { class: 'check' }, use, html('span', {}, text('gate.second.use'))), more,
    html('label', { class: 'check' }, heard, html('span', {}, text('gate.alarm.heard'))));

  function gateFields(label, index, put) {
    const one = (key, unit, name, step, decimals) => numberField({ label: index ? `gate.second.${key}` : `hands.gate.${key}`, unit, step, decimals,
      put: (value) => put({ [name]: value }) });
    const parts = { start_mm: one('start', 'unit.mm', 'start_mm', 0.5, 1), length_mm: one('length', 'unit.mm', 'length_mm', 0.5, 1),
      threshold_percent: one('threshold', 'unit.percent', 'threshold_percent', 1, 0) };
    const point = selectField({ label: index ? 'gate.second.point' : 'gate.point', options: POINTS.map((value) => [value, text(`gate.point.${value}`)]),
      put: (value) => session.adjust({ gate_points: session.gate_points.map((old, i) => (i === index ? value : old)) }) });
    return {
      element: html('fieldset', { class: 'trio' }, html('legend', {}, text(label)), Object.values(parts).map((field) => field.element), point.element),
      show(gate) {
        for (const [name, field] of Object.entries(parts)) field.show(gate[name]);
        point.show(session.gate_points[index]);
      },
    };
  }

  function showSecond(reading) {
    const found = session.frame?.reading ?? null;
    rows.amplitude.show(reading ? text('reading.amplitude.value', { at_least: reading.clipped ? text('reading.at_least') : '',
      percent: number(reading.amplitude_percent, 0), db: signed(reading.amplitude_db) }) : '–');
    rows.depth.show(reading ? text('reading.depth.value', { depth_mm: reading.depth_mm, leg: text(`leg.${reading.leg}`) }) : '–');
    rows.path.show(reading ? text('mm', { value_mm: reading.sound_path_mm }) : '–');
    rows.ahead.show(reading ? text('mm', { value_mm: reading.surface_distance_mm }) : '–');
    rows.offset.show(reading ? text('mm.signed', { value_mm: reading.offset_mm }) : '–');
    rows.between.show(reading && found ? text('mm.signed', { value_mm: reading.sound_path_mm - found.sound_path_mm }) : '–');
  }

  function update() {
    first.show(session.gate);
    use.checked = session.second_gate !== null;
    more.hidden = session.second_gate === null;
    if (session.second_gate) second.show(session.second_gate);
    const readings = [session.frame?.reading ?? null, session.second_gate ? session.frame?.second_reading ?? null : null];
    showSecond(readings[1]);
    readings.forEach((reading, i) => {
      say(alarms[i], text(reading ? 'gate.alarm.on' : 'gate.alarm.off', { n: i + 1 }));
      alarms[i].classList.toggle('on', Boolean(reading));
    });
  }

  session.addEventListener('frame', () => sound.sound(Boolean(session.frame.reading || session.frame.second_reading) && document.body.dataset.place === 'bench'));
  return { element, update };
}

const behind = ({ start_mm, length_mm, threshold_percent }) => ({ start_mm: start_mm + length_mm + BEHIND_MM, length_mm, threshold_percent });
