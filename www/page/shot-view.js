// What a call was made from: the section and the trace as they stood, computed anew when somebody wants to see them.
import { html } from './element.js';
import { button } from './fields.js';
import { drawn } from './svg-text.js';
import { text } from './text.js';

/** A drawing to fold out for a call, from 0, or null for one that was written by hand. `look()` goes to the bench. */
export function shotView(session, index, look = null) {
  const snapshot = session.sheet.calls[index]?.snapshot;
  if (!snapshot || session.about.recorded) return null;
  const room = html('div', { class: 'shot' });
  const element = html('details', { class: 'shot-of-call', ontoggle: show }, html('summary', {}, text('shot.title')), room,
    button({ label: 'shot.there', class: 'no-print', press: there }));
  let asked = false;

  async function show() {
    if (!element.open || asked) return;
    asked = true;
    room.replaceChildren(html('p', { class: 'quiet' }, text('shot.wait')));
    // A plate that is left meanwhile has no more to tell.
    const figure = await session.shot(index).catch(() => null);
    room.replaceChildren(figure ? drawn(figure) : html('p', { class: 'quiet' }, text('shot.none')));
  }

  /** Probe, gain, beam and gate as they were. */
  function there() {
    const { pose, gain_db, beam, gate } = snapshot;
    session.move(pose);
    session.adjust({ gain_db, beam, gate });
    look?.();
  }

  return element;
}
