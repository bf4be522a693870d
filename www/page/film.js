// The film of couplant on the drawn plate.
import { svg } from './element.js';

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
      [...film.amounts].forEach((digit, index) => {
        if (digit === '0') return;
        const x = film.corner_mm[0] + film.cell_mm * (index % film.cells[0]);
        const y = film.corner_mm[1] + film.cell_mm * Math.floor(index / film.cells[0]);
        paths[Number(digit) >= WET ? 1 : 0] += `M${px(y).toFixed(1)} ${py(x).toFixed(1)}h${side.toFixed(1)}v${(-side).toFixed(1)}h${(-side).toFixed(1)}z`;
      });
    }
    thin.setAttribute('d', paths[0]);
    wet.setAttribute('d', paths[1]);
  }
  return { element, draw };
}
