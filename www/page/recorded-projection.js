// One view of the recorded scan, from above, from the side or from the end: the picture, rulers, and the cursor.
import { html, say, set, svg } from './element.js';
import { WAYS } from './recorded-scan.js';
import { rulerMarks } from './ruler.js';
import { number, text } from './text.js';
import { stepLength } from './units.js';

const LEFT_PX = 34;
const RIGHT_PX = 12;
const TAPE_PX = 20;
/** Steps of the cursor, mm; with shift ten times that. */
const STEP_MM = { y_mm: 1, offset_mm: 0.5, depth_mm: 0.25 };

export function projectionView(recording, session, projection) {
  const [across, down] = WAYS[projection];
  const canvas = html('canvas', { 'aria-hidden': 'true' });
  const context = canvas.getContext('2d');
  const ruler = svg('g', { class: 'recorded-ruler' });
  const calls = svg('g', { class: 'calls' });
  const hair = svg('path', { class: 'recorded-hair' });
  const hairCase = svg('path', { class: 'recorded-hair-case' });
  const above = svg('svg', { class: 'recorded-above', 'aria-hidden': 'true' }, ruler, calls, hairCase, hair);
  const words = html('span', { class: 'unseen', role: 'status' });
  const stage = html('div', { class: `recorded-stage recorded-${projection}`, tabindex: 0, role: 'group' }, canvas, above);
  const element = html('figure', { class: 'recorded-figure' },
    html('figcaption', {}, text(`recorded.${projection}`), ' ', html('span', { class: 'quiet' }, text(`recorded.${projection}.hint`))), stage, words);
  let edges = null;
  let size = { width: 0, height: 0 };

  // From above, positive offsets are up, as on the drawing of the plate.
  const upwards = projection === 'top';
  const span = () => ({ across: projection === 'end' ? edges.offset : [0, recording.about.setting.length_mm],
    down: projection === 'top' ? edges.offset : [0, recording.about.setting.thickness_mm] });
  const px = (mm) => { const [a, b] = span().across; return LEFT_PX + ((mm - a) / (b - a)) * (size.width - LEFT_PX - RIGHT_PX); };
  const py = (mm) => { const [a, b] = span().down; const share = (mm - a) / (b - a); return (upwards ? 1 - share : share) * (size.height - TAPE_PX); };
  const toMm = (x, y) => {
    const [[a, b], [c, d]] = [span().across, span().down];
    const share = y / (size.height - TAPE_PX);
    return [a + ((x - LEFT_PX) / (size.width - LEFT_PX - RIGHT_PX)) * (b - a), c + (upwards ? 1 - share : share) * (d - c)];
  };

  stage.addEventListener('pointerdown', (event) => {
    if (!recording.any) return;
    const place = stage.getBoundingClientRect();
    recording.moveCursor(projection, ...toMm(event.clientX - place.left, event.clientY - place.top));
  });
  stage.addEventListener('keydown', (event) => {
    if (!recording.any || event.ctrlKey || event.metaKey) return;
    const by = event.shiftKey ? 10 : 1;
    const { [across]: x, [down]: z } = recording.cursor;
    const [dx, dz] = [stepLength(STEP_MM[across] * by), stepLength(STEP_MM[down] * by) * (upwards ? -1 : 1)];
    const acts = {
      ArrowLeft: () => recording.moveCursor(projection, x - dx, z), ArrowRight: () => recording.moveCursor(projection, x + dx, z),
      ArrowUp: () => recording.moveCursor(projection, x, z - dz), ArrowDown: () => recording.moveCursor(projection, x, z + dz),
      PageUp: () => recording.scroll(-1), PageDown: () => recording.scroll(1), Home: () => recording.toHighest(),
    };
    if (!acts[event.key]) return;
    event.preventDefault();
    event.stopPropagation();
    acts[event.key]();
  });

  function layOut() {
    size = { width: stage.clientWidth, height: stage.clientHeight };
    const beside = 1.5 * recording.about.setting.thickness_mm;
    edges = { offset: [-beside, beside] };
    set(above, { viewBox: `0 0 ${size.width} ${size.height}` });
    return size.width > 0;
  }

  function drawRuler() {
    const [[a, b], [c, d]] = [span().across, span().down];
    const parts = [svg('rect', { class: 'recorded-ground', x: LEFT_PX, y: 0, width: size.width - LEFT_PX - RIGHT_PX, height: size.height - TAPE_PX })];
    const wide = (size.width - LEFT_PX - RIGHT_PX) / (b - a);
    for (const { mm, words: at } of rulerMarks(a, b, wide, 38)) {
      parts.push(svg('path', { d: `M${px(mm)} ${size.height - TAPE_PX}v5` }),
        svg('text', { x: px(mm), y: size.height - 4, 'text-anchor': 'middle' }, at));
    }
    const deep = (size.height - TAPE_PX) / (d - c);
    for (const { mm, words: at } of rulerMarks(c, d, deep, 17)) {
      parts.push(svg('path', { d: `M${LEFT_PX} ${py(mm)}h-5` }),
        svg('text', { x: LEFT_PX - 7, y: Math.min(Math.max(py(mm) + 4, 10), size.height - TAPE_PX), 'text-anchor': 'end' }, at));
    }
    ruler.replaceChildren(...parts);
  }

  function drawCalls() {
    const list = session.open && projection !== 'end' ? session.sheet.calls : [];
    calls.replaceChildren(...list.map((call, i) => {
      if (call.start_mm === null || call.end_mm === null || call[down] === null) return svg('g');
      const [from, to, y] = [px(call.start_mm), px(Math.max(call.end_mm, call.start_mm + 1)), py(call[down])];
      return svg('g', { class: 'call-mark' }, svg('path', { d: `M${from} ${y - 6}v12M${from} ${y}H${to}M${to} ${y - 6}v12` }),
        svg('text', { x: to + 4, y: y + 4 }, String(i + 1)));
    }));
  }

  /** The picture anew, from the worker. */
  async function repaint() {
    if (!recording.any || !layOut()) return;
    const painted = await recording.paint(projection);
    canvas.hidden = !painted;
    if (!painted || !recording.about || !layOut()) return;
    const { place, buffer } = painted;
    set(canvas, { width: place.columns, height: place.rows });
    context.putImageData(new ImageData(new Uint8ClampedArray(buffer), place.columns, place.rows), 0, 0);
    const [x1, x2] = place.horizontal_mm.map(px);
    const [y1, y2] = place.vertical_mm.map(py);
    Object.assign(canvas.style, { left: `${x1}px`, width: `${x2 - x1}px`, top: `${Math.min(y1, y2)}px`,
      height: `${Math.abs(y2 - y1)}px`, transform: upwards ? 'scaleY(-1)' : '' });
    update();
  }

  function update() {
    if (!recording.any || !layOut()) return;
    drawRuler();
    drawCalls();
    const [x, y] = [px(recording.cursor[across]), py(recording.cursor[down])];
    const d = `M${x} 0V${y - 9}M${x} ${y + 9}V${size.height - TAPE_PX}M${LEFT_PX} ${y}H${x - 9}M${x + 9} ${y}H${size.width - RIGHT_PX}`;
    set(hair, { d });
    set(hairCase, { d });
    const cursor = recording.cursor;
    set(stage, { 'aria-label': text(`recorded.${projection}.label`, { y_mm: cursor.y_mm, offset_mm: cursor.offset_mm, depth_mm: cursor.depth_mm }) });
    if (told()) tell();
  }

  /** Whether it says by itself what is at the cursor. */
  const told = () => document.activeElement === stage;
  const tell = () => say(words, `${stage.getAttribute('aria-label')} ${heard(recording.reading)}`);

  return { element, repaint, update, told, tell, focus: () => stage.focus() };
}

/** The echo at the cursor, rounded, to be heard. */
const heard = (reading) => (reading ? text('live.reading', { percent: number(Math.round(reading.amplitude_percent / 5) * 5, 0),
  depth_mm: reading.depth_mm, leg: text(`leg.${reading.leg}`) }) : text('recorded.silent'));
