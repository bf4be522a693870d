// What is read at the place that is meant, in words with units.
import { html, say, set } from './element.js';
import { button, readout } from './fields.js';
import { secondLine, secondWords } from './second-reading.js';
import { number, signed, text } from './text.js';

/** `meant()` is that place. */
export function readingsView(session, actions, meant) {
  const rows = {
    amplitude: readout('reading.amplitude'),
    depth: readout('reading.depth'),
    path: readout('reading.path'),
    ahead: readout('reading.ahead'),
    offset: readout('reading.offset'),
  };
  const title = html('h2', { id: 'reading-title' });
  const note = html('p', { class: 'note' });
  const second = secondLine();
  const list = html('dl', { class: 'readings' }, Object.values(rows).map((row) => row.element));
  const next = button({ label: 'hands.next_echo', key: 'N', press: () => actions.nextEcho() });
  const call = button({ label: 'sheet.call', key: 'C', class: 'main call-button', press: () => actions.call() });
  const element = html('section', { class: 'card reading', 'aria-labelledby': 'reading-title' },
    title, list, second.element, note, html('div', { class: 'row' }, next, call));

  function update() {
    const place = meant();
    const reading = place.reading();
    say(title, text(place.words.head));
    // The next echo and the second gate are those of the probe; the recorded scan has its own line of that gate.
    next.hidden = place.sized;
    second.show(place.sized ? null : session.second_gate, session.frame?.second_reading ?? null);
    rows.offset.name(session.about.block ? 'reading.offset.block' : 'reading.offset');
    element.classList.toggle('empty', !reading);
    set(call, { 'aria-disabled': reading && !session.handed_in ? null : 'true' });
    call.classList.toggle('main', !reading || recordable(reading, session.about));
    if (!reading) {
      for (const row of Object.values(rows)) row.show('–');
      say(note, place.sized ? text('recorded.silent') : session.lifted ? text('contact.lifted') : text('reading.none', { threshold: number(session.gate.threshold_percent, 0) }));
      return;
    }
    const at_least = reading.clipped ? text('reading.at_least') : '';
    rows.amplitude.show(text('reading.amplitude.value', {
      at_least, percent: number(reading.amplitude_percent, 0), db: signed(reading.amplitude_db) }));
    rows.depth.show(text('reading.depth.value', { depth_mm: reading.depth_mm, leg: text(`leg.${reading.leg}`) }));
    rows.path.show(text('mm', { value_mm: reading.sound_path_mm }));
    rows.ahead.show(text('mm', { value_mm: reading.surface_distance_mm }));
    const side = Math.abs(reading.offset_mm) < 0.05 ? text('offset.centre') : text('offset.side', { side: reading.offset_mm > 0 ? 'B' : 'A' });
    rows.offset.show(text('reading.offset.value', { offset_mm: reading.offset_mm, side }));
    say(note, reading.clipped ? text('reading.clipped') : session.about.block ? ''
      : text(recordable(reading, session.about) ? 'reading.recordable' : 'reading.below', { level: signed(session.about.procedure.recording_level_db) }));
  }

  return { element, update, focus: () => call.focus() };
}

/** Whether what is read is high enough to be recorded; only then is calling it the next thing to do. */
export const recordable = (reading, { procedure }) => reading.clipped || reading.amplitude_db >= procedure.recording_level_db;

/** One rounded sentence for screen readers. */
export function readingSentence(session) {
  const reading = session.frame?.reading;
  const place = text('live.place', { y_mm: session.pose.y_mm, side: session.pose.side });
  const second = session.second_gate ? ` ${secondWords(session.frame?.second_reading)}` : '';
  if (session.lifted) return `${place} ${text('contact.lifted')}`;
  if (!reading) return `${place} ${text('live.none')}${second}`;
  return `${place} ${text('live.reading', { percent: number(Math.round(reading.amplitude_percent / 5) * 5, 0),
    depth_mm: reading.depth_mm, leg: text(`leg.${reading.leg}`) })}${second}`;
}
