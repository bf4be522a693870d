// What the second gate reads, in one line, for every place where readings stand.
import { html, say } from './element.js';
import { number, signed, text } from './text.js';

/** The line; hidden while there is no second gate. */
export function secondLine() {
  const element = html('p', { class: 'quiet second-reading', hidden: true });
  return {
    element,
    show(gate, reading) {
      element.hidden = !gate;
      if (gate) say(element, secondWords(reading));
    },
  };
}

/** The same in words. */
export function secondWords(reading) {
  if (!reading) return text('gate.second.none');
  return text('gate.second.line', { at_least: reading.clipped ? text('reading.at_least') : '', percent: number(reading.amplitude_percent, 0),
    db: signed(reading.amplitude_db), depth_mm: reading.depth_mm, leg: text(`leg.${reading.leg}`), path_mm: reading.sound_path_mm,
    offset_mm: reading.offset_mm });
}
