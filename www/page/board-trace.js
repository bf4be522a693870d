// The echo trace of one beam on the drawing board, and the highest echo of every beam from both sides.
import { parallel } from './beam-name.js';
import { html, say, set, svg } from './element.js';
import { pathToFace } from './geometry.js';
import { number, signed, text } from './text.js';

const [WIDE, HIGH, LEFT, UNDER] = [600, 190, 52, 22];

/** The trace; `update(laid, frame, beam, echo)`. */
export function boardTrace() {
  const drawing = svg('svg', { class: 'board-trace', viewBox: `0 0 ${WIDE} ${HIGH}`, role: 'img' });
  return {
    element: drawing,
    update(laid, { trace }, beam, echo) {
      const range = laid.procedure.range_mm;
      const px = (path) => LEFT + (path / range) * (WIDE - LEFT - 8);
      const py = (percent) => 8 + (1 - Math.min(percent, 110) / 110) * (HIGH - UNDER - 8);
      const percent = new Float32Array(trace.buffer);
      let d = '';
      const every = Math.max(1, Math.floor(percent.length / (WIDE - LEFT)));
      for (let i = 0; i < percent.length; i += every) {
        let top = 0;
        for (let k = i; k < Math.min(i + every, percent.length); k++) top = Math.max(top, Math.abs(percent[k]));
        d += `${d ? 'L' : 'M'}${px(i * trace.step_mm).toFixed(1)} ${py(top).toFixed(1)}`;
      }
      const faces = [];
      for (let n = 1; ; n++) {
        const path = pathToFace(laid.beams[beam], laid.plate.thickness_mm, n);
        if (path > range) break;
        faces.push(svg('g', { class: 'face-mark' }, svg('line', { x1: px(path), x2: px(path), y1: 8, y2: HIGH - UNDER }),
          WIDE - px(path) < 80 ? null : svg('text', { x: px(path) + 4, y: HIGH - 7 }, text(n % 2 ? 'trace.back_wall' : 'trace.top_again'))));
      }
      const mark = echo && echo.beam === beam
        ? svg('path', { class: 'reading-mark', d: `M${px(echo.sound_path_mm)} ${HIGH - UNDER + 1}l-5 9h10z` }) : null;
      drawing.replaceChildren(svg('g', { class: 'trace-grid' }, [0, 40, 80].map((p) => svg('g', {},
        svg('line', { x1: LEFT, x2: WIDE - 8, y1: py(p), y2: py(p) }), svg('text', { x: LEFT - 4, y: py(p) + 4, 'text-anchor': 'end' }, String(p))))),
      ...faces, svg('path', { class: 'trace-curve', d }), ...[mark].filter(Boolean));
      set(drawing, { 'aria-label': text('board.trace.label', { angle: laid.beams[beam].angle_deg }) });
    },
  };
}

const [LOW_DB, TOP_DB] = [-40, 22];
/** Room at the right for the names of the curves, large as they are on a phone. */
const NAMES = 84;

/** How far below its curve's end a name stands: beside it, or where two ends are close the upper one above and the lower one below. */
function below(ends_db, i) {
  const other = ends_db[1 - i];
  if (other === undefined || Math.abs(ends_db[i] - other) > 9) return 4;
  return ends_db[i] > other || (ends_db[i] === other && i === 0) ? -5 : 17;
}

/** Highest echo over beam angle; `update(laid, from_sides, beam)`. */
export function beamChart() {
  const drawing = svg('svg', { class: 'board-trace', viewBox: `0 0 ${WIDE} ${HIGH}`, role: 'img' });
  const caption = html('figcaption', { class: 'quiet' });
  return {
    element: html('figure', {}, caption, drawing),
    update(laid, from_sides, beam) {
      // Parallel beams by their number from the rear, others by their angle.
      const numbered = parallel(laid.beams);
      const angles = laid.beams.map((one, i) => (numbered ? i + 1 : one.angle_deg));
      const unit = numbered ? '' : '°';
      const title = text(numbered ? 'board.beams.title.parallel' : 'board.beams.title');
      say(caption, title);
      const [low, high] = [angles[0], angles.at(-1)];
      const px = (angle) => LEFT + 10 + ((angle - low) / (high - low || 1)) * (WIDE - LEFT - 10 - NAMES);
      const py = (db) => 8 + ((TOP_DB - Math.max(LOW_DB, Math.min(TOP_DB, db))) / (TOP_DB - LOW_DB)) * (HIGH - UNDER - 8);
      const level = laid.procedure.recording_level_db;
      const known = from_sides.filter(Boolean);
      const ends_db = known.map(({ beams_db }) => beams_db.at(-1));
      const curves = known.map(({ side, beams_db }, k) => svg('g', { class: `beam-curve side-${side.toLowerCase()}` },
        svg('path', { d: beams_db.map((db, i) => `${i ? 'L' : 'M'}${px(angles[i]).toFixed(1)} ${py(db).toFixed(1)}`).join('') }),
        svg('text', { x: px(high) + 6, y: py(beams_db.at(-1)) + below(ends_db, k) }, text('side.name', { side }))));
      drawing.replaceChildren(svg('g', { class: 'trace-grid' },
        [-40, -20, 0, 20].map((db) => svg('g', {}, svg('line', { x1: LEFT, x2: WIDE - NAMES, y1: py(db), y2: py(db) }), svg('text', { x: LEFT - 4, y: py(db) + 4, 'text-anchor': 'end' }, signed(db, 0)))),
        [low, (low + high) / 2, high].map((angle) => svg('text', { x: px(angle), y: HIGH - 6, 'text-anchor': 'middle' }, `${number(angle, 0)}${unit}`))),
      svg('g', { class: 'level-mark' }, svg('line', { x1: LEFT, x2: WIDE - NAMES, y1: py(level), y2: py(level) }),
        svg('text', { x: LEFT + 4, y: py(level) - 4 }, text('said.shot.level'))),
      svg('line', { class: 'beam-chosen', x1: px(angles[beam]), x2: px(angles[beam]), y1: 8, y2: HIGH - UNDER }), ...curves);
      const best = (side) => Math.max(...side.beams_db);
      set(drawing, { 'aria-label': [title, ...from_sides.filter(Boolean).map((side) => text(numbered ? 'board.beams.label.parallel' : 'board.beams.label',
        { side: side.side, db: signed(best(side)), angle: number(angles[side.beams_db.indexOf(best(side))]) }))].join(' ') });
    },
  };
}
