// On a phone: what is read, the steps of the probe and the call, at the foot of the screen whatever is scrolled to.
import { html, say, set } from './element.js';
import { button } from './fields.js';
import { stepButtons } from './hands.js';
import { recordable } from './readings.js';
import { secondLine } from './second-reading.js';
import { number, text } from './text.js';

/** `meant()` is the place that is meant. */
export function dockView(session, actions, meant) {
  // A copy for the eye: screen readers have the reading itself and its announcements.
  const line = html('p', { class: 'dock-line', 'aria-hidden': 'true' });
  const second = secondLine();
  second.element.setAttribute('aria-hidden', 'true');
  const call = button({ label: 'sheet.call', face: text('dock.call'), class: 'main call-button', press: () => actions.call() });
  const end = button({ label: 'dock.end', face: text('dock.end.face'), class: 'small', press: () => actions.end('end_mm') });
  const start = button({ label: 'dock.start', face: text('dock.start.face'), class: 'small', press: () => actions.end('start_mm') });
  const [steps, next] = [stepButtons(session), button({ label: 'hands.next_echo', face: text('dock.next'), class: 'small', press: () => actions.nextEcho() })];
  // The form of an open call: beside the plate it would push plate and section out of sight.
  const room = html('div', { class: 'dock-room' });
  const element = html('div', { class: 'dock' }, room, line, second.element,
    html('div', { class: 'dock-row' }, steps, start, end, next, call));

  function update() {
    const place = meant();
    const reading = place.reading();
    // Steps and echoes of the probe are no steps of the cursor.
    steps.hidden = next.hidden = place.sized;
    const { index_offset_mm: offset_mm, side } = session.pose;
    const y = place.sized ? `${text(place.words.head)}: ${text('mm', { value_mm: place.y_mm() })}`
      : text(session.about.block ? 'dock.place.block' : 'dock.place', { y_mm: place.y_mm(), offset_mm, side });
    say(line, reading ? `${y} · ${text('dock.reading', { percent: number(reading.amplitude_percent, 0),
      depth_mm: reading.depth_mm, leg: reading.leg, offset_mm: reading.offset_mm })}` : `${y} · ${text(place.sized ? 'recorded.silent' : 'said.shot.silent')}`);
    second.show(place.sized ? null : session.second_gate, session.frame?.second_reading ?? null);
    call.classList.toggle('main', !reading || recordable(reading, session.about));
    set(call, { 'aria-disabled': reading && !session.handed_in ? null : 'true' });
    for (const mark of [start, end]) mark.hidden = session.sheet.calls.length === 0 || Boolean(session.handed_in);
  }

  return { element, update, room, focus: () => call.focus() };
}
