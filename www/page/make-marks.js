// Flaws to take hold of, in plan and section: by pointer, by finger, by keyboard.
import { dragging } from './drag.js';
import { set, svg } from './element.js';
import { toml } from './flaw-kinds.js';
import { placeKeys } from './make-fields.js';
import { text } from './text.js';
import { kindNamed } from './told.js';

/** Steps of the arrows, mm, and with shift. */
const [STEP_MM, LONG_MM] = [0.5, 5];
const half = (value) => Math.round(value * 2) / 2;

/** The edits that move a flaw from where it is by so many mm along, across and down, as far as its place knows them. */
export function moved(index, flaw, { along = 0, across = 0, down = 0 }) {
  const { depth, offset, inner } = placeKeys(index, flaw);
  const to = (path, value) => ({ set: [path, toml(half(value))] });
  return [along && to(`plate.flaw[${index}].start_mm`, flaw.start_mm + along), across && offset && to(offset, inner.offset_mm + across),
    down && depth && to(depth, inner.depth_mm + down)].filter(Boolean);
}

/**
 * One mark for each flaw in a drawing. `reach(dx, dy, scale)` says what a way on the screen means in mm; `held` hears `choose(index)`,
 * `edit(edits, key)` and `remove(index)`.
 */
export function makeMarks(group, { reach, keys, held, name }) {
  let [marks, laid, scale, drags] = [[], null, 1, 0];
  const flawAt = (mark) => laid.plate.flaw[marks.indexOf(mark)];

  function mark() {
    const box = svg('rect', { class: 'make-box', rx: 2 });
    const grip = svg('rect', { class: 'grip' });
    const words = svg('text', {});
    const element = svg('g', { class: 'flaw-mark make-mark', tabindex: 0, role: 'button' }, box, words, grip);
    const own = { element, box, grip, words };
    const index = () => marks.indexOf(own);
    element.addEventListener('focus', () => held.choose(index()));
    element.addEventListener('keydown', (event) => {
      const way = keys[event.key];
      if (event.key === 'Delete') held.remove(index());
      else if (way) {
        const [what, sign] = way;
        held.edit(moved(index(), flawAt(own), { [what]: sign * (event.shiftKey ? LONG_MM : STEP_MM) }), null);
      } else return;
      event.preventDefault();
    });
    dragging(element, {
      start() {
        element.focus({ preventScroll: true });
        return { flaw: structuredClone(flawAt(own)), key: `${name}-${++drags}` };
      },
      move({ flaw, key }, dx, dy) {
        const edits = moved(index(), flaw, reach(dx, dy, scale));
        if (edits.length) held.edit(edits, key);
      },
    });
    return own;
  }

  return {
    /** `boxes` are [left, top, width, height] in px. */
    update(now, boxes, chosen, px_per_mm) {
      [laid, scale] = [now, px_per_mm];
      while (marks.length > boxes.length) marks.pop().element.remove();
      while (marks.length < boxes.length) {
        marks.push(mark());
        group.append(marks.at(-1).element);
      }
      marks.forEach(({ element, box, grip, words }, i) => {
        const [x, y, width, height] = boxes[i];
        set(box, { x, y, width, height });
        const [wide, high] = [Math.max(44, width), Math.max(44, height)];
        set(grip, { x: x + (width - wide) / 2, y: y + (height - high) / 2, width: wide, height: high });
        set(words, { x: x + width + 4, y: y + 2 });
        words.textContent = String(i + 1);
        const { extent, words: kind } = laid.flaws[i];
        set(element, { 'aria-pressed': String(i === chosen), 'aria-label': text('make.mark', { n: i + 1, kind: kindNamed(kind), from_mm: extent.along_mm[0], to_mm: extent.along_mm[1],
          top_mm: extent.depth_mm[0], bottom_mm: extent.depth_mm[1] }) });
        element.classList.toggle('chosen', i === chosen);
      });
    },
    focus: (index) => marks[index]?.element.focus(),
  };
}
