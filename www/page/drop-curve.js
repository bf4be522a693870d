// A small curve of echo heights over places, with the two places where the echo has dropped.
import { html, say, set, svg } from './element.js';
import { text } from './text.js';

const [WIDE, HIGH, BELOW] = [320, 84, 16];

export function dropCurve(name) {
  const curve = svg('path', { class: 'trace-curve' });
  const level = svg('path', { class: 'drop-level' });
  const marks = svg('path', { class: 'drop-marks' });
  const here = svg('path', { class: 'drop-here' });
  const ends = ['start', 'end'].map((anchor) => svg('text', { y: HIGH + BELOW - 3, 'text-anchor': anchor, x: anchor === 'start' ? 0 : WIDE }));
  const drawing = svg('svg', { class: 'drop-drawing', viewBox: `0 0 ${WIDE} ${HIGH + BELOW}`, role: 'img', 'aria-label': text(name) },
    svg('path', { class: 'drop-ground', d: `M0 ${HIGH}H${WIDE}` }), here, level, curve, marks, ...ends);
  const words = html('p', { class: 'drop-words' });
  const element = html('div', { class: 'drop-box' }, html('h3', {}, text(name)), drawing, words);
  const state = { element, ends: null, show, wait };

  /** Nothing is gathered yet: the place is kept, and says what to do. */
  function wait() {
    state.ends = null;
    drawing.classList.add('empty');
    say(words, text(`${name}.wait`));
  }

  /** Shows {positions_mm, percent, ends_mm} or null; `at_mm` is where the cursor or the probe is. */
  function show(found, at_mm) {
    state.ends = found?.ends_mm ?? null;
    drawing.classList.toggle('empty', !found);
    if (!found) return say(words, text('sizing.nothing'));
    const { positions_mm, percent, ends_mm } = found;
    const [low, high] = [positions_mm[0], positions_mm.at(-1)];
    const top = Math.max(...percent, 1e-9);
    const px = (mm) => (high > low ? ((mm - low) / (high - low)) * WIDE : WIDE / 2);
    const py = (value) => HIGH - (value / top) * (HIGH - 6);
    set(curve, { d: positions_mm.map((mm, i) => `${i ? 'L' : 'M'}${px(mm).toFixed(1)} ${py(percent[i]).toFixed(1)}`).join('') });
    set(level, { d: `M0 ${py(top / 2)}H${WIDE}` });
    set(here, { d: at_mm >= low && at_mm <= high ? `M${px(at_mm)} 0V${HIGH}` : '' });
    set(marks, { d: (ends_mm ?? []).map((mm) => `M${px(mm)} ${py(top / 2) - 9}v18M${px(mm) - 5} ${py(top / 2)}h10`).join('') });
    say(ends[0], text('mm', { value_mm: low }));
    say(ends[1], text('mm', { value_mm: high }));
    say(words, ends_mm ? text(`${name}.found`, { from_mm: ends_mm[0], to_mm: ends_mm[1], size_mm: ends_mm[1] - ends_mm[0] })
      : text(`${name}.open`));
  }

  return state;
}
