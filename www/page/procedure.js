// The written procedure in a drawer beside the work.
import { show } from './dialog.js';
import { html } from './element.js';
import { sentence } from './said.js';
import { number, signed, text } from './text.js';

/** Opens the procedure, or closes it where it is open. */
export function showProcedure(session) {
  const open = document.querySelector('dialog.drawer');
  if (open) return open.close();
  return show({ title: text('procedure.title'), content: procedure(session.about), drawer: true,
    buttons: [{ label: 'dialog.close', value: null }] });
}

function beams({ from_deg, to_deg, active_elements, linear }) {
  if (!linear) return text('procedure.beams.value', { from: number(from_deg, 0), to: number(to_deg, 0) });
  return text('procedure.beams.linear', { angle: number(from_deg, 0), active: active_elements, step: linear.step_elements });
}

function procedure({ prescribed: procedure, acceptance, note }) {
  const facts = [
    ['procedure.probe', `${procedure.probe.name}, ${number(procedure.probe.frequency_mhz)} MHz`],
    ['procedure.beams', beams(procedure.sector)],
    ['procedure.sides', procedure.sides.join(', ')],
    ['procedure.gain', text('procedure.gain.value', { reference: number(procedure.reference_gain_db), more: number(procedure.scanning_gain_db) })],
    ['procedure.level', text('procedure.level.value', { level: signed(procedure.recording_level_db) })],
    ['procedure.time', text('procedure.time.value', { minutes: procedure.time_minutes })],
  ];
  // The file breaks lines where it suits the file; here a paragraph or numbered step is one.
  const parts = `${note ?? ''}\n\n${procedure.text}`.split(/\n{2,}|\n(?=\s*\d+\. )/).map((part) => part.trim().replace(/\s+/g, ' ').replace(/(?<=\s)-(?=\d)/g, '−'));
  // By what the mark goes, whatever the text says of it.
  const rule = acceptance ? sentence(acceptance) : '';
  return [...[...parts, rule].filter(Boolean).map((part) => html('p', {}, part)),
  html('dl', { class: 'readings' }, facts.map(([label, value]) => html('div', {}, html('dt', {}, text(label)), html('dd', {}, value))))];
}
