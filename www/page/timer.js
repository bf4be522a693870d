// The clock in the head of the bench: in words where there is room, in figures on a phone.
import { say } from './element.js';
import { clock, text } from './text.js';

/** Shows the time that is left, ms, in an element with a long and a short form; negative is too late. */
export function sayTime(element, left_ms) {
  const [key, time] = left_ms > 0 ? ['timer.left', clock(left_ms)] : ['timer.over', clock(-left_ms)];
  const [long, short] = element.children;
  say(long, text(key, { time }));
  say(short, text(`${key}.short`, { time }));
}
