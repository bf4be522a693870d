// The film of couplant on the drawn plate.
import { set, svg } from './element.js';

/** Film, in ninths, from which a cell counts as wet. */
const WET = 3;

export function filmView(session) {
  const wet = svg('path', { class: 'film-wet' });
  const thin = svg('path', { class: 'film-thin' });
  const element = svg('g', { class: 'film' }, thin, wet);
  let film = null;
  let drawn = null;
  let none = null;
  let busy = false;
  session.addEventListener('frame', async () => {
    if (busy || none === session.serial) return;
    busy = true;
    try {
      film = await session.calibrate('film');
      if (!film) none = session.serial;
    } catch {
      // The plate has changed meanwhile: the next frame asks again.
      film = null;
    } finally {
      busy = false;
    }
    if (drawn) draw(drawn);
  });

  function draw(place) {
    drawn = place;
    const { px, py, scale } = place;
    const paths = ['', ''];
    if (film) {
      const side = film.cell_mm * scale;
      for (const { kind, row, from, count } of strips(film)) {
        const [x, y] = [film.corner_mm[0] + film.cell_mm * from, film.corner_mm[1] + film.cell_mm * row];
        const long = (side * count).toFixed(1);
        paths[kind] += `M${px(y).toFixed(1)} ${py(x).toFixed(1)}h${side.toFixed(1)}v-${long}h-${side.toFixed(1)}z`;
      }
    }
    set(thin, { d: paths[0] });
    set(wet, { d: paths[1] });
  }
  return { element, draw };
}

/** Neighbours across the weld of one kind, thin (0) or wet (1): a few long strips are drawn faster than all their cells. */
function strips({ amounts, cells: [across] }) {
  const found = [];
  [...amounts].forEach((digit, index) => {
    if (digit === '0') return;
    const [kind, row, at] = [Number(digit) >= WET ? 1 : 0, Math.floor(index / across), index % across];
    const last = found.at(-1);
    if (last?.kind === kind && last.row === row && last.from + last.count === at) last.count += 1;
    else found.push({ kind, row, from: at, count: 1 });
  });
  return found;
}
