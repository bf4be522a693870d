// The plate from above: weld, tape, probe, calls, where the probe has been. One pixel scale for both directions.
import { html, say, set, svg } from './element.js';
import { filmView } from './film.js';
import { dragging } from './drag.js';
import { planStill } from './plan-still.js';
import { sidesView } from './sides.js';
import { skewHandle } from './skew-handle.js';
import { stretches } from './stretches.js';
import { text } from './text.js';
import { snapped } from './units.js';
import { truthAbove } from './truth-marks.js';

/** Pixels per mm at least, and how much of the plate should be seen across if that leaves room, mm. */
const SMALLEST_SCALE = 2;
const ACROSS_MM = 52;
const MARGIN_PX = 12;
const TAPE_PX = 34;
/** What is shown beyond the far edge of the weld where there is room, and of the probe in any case, mm. */
const FAR_MM = 3;
const PROBE_MM = 8;
/** Height of the band that shows what was examined, where all was, mm. */
const BAND_MM = 4;

export function planView(session) {
  const still = svg('g');
  const scanned = svg('g', { class: 'scanned' });
  const calls = svg('g', { class: 'calls' });
  const truth = svg('g', { class: 'truth' });
  const names = ['A', 'B'].map((side) => svg('text', { class: 'side-name' }, text('side.name', { side })));
  const clip = svg('rect');
  const fan = svg('path', { class: 'fan' });
  const wedge = svg('rect', { class: 'wedge', rx: 4 });
  const front = svg('rect', { class: 'wedge-front', rx: 2 });
  const letter = svg('text', { class: 'probe-letter', 'text-anchor': 'middle', 'dominant-baseline': 'central' });
  const line = svg('line', { class: 'beam-plane' });
  const rail = svg('line', { class: 'guide-rail' });
  const probe = svg('g', { class: 'probe', tabindex: 0, role: 'slider', 'aria-label': text('plan.probe') },
    svg('rect', { class: 'grip' }), wedge, front, letter);
  const film = filmView(session);
  const drawing = svg('svg', { class: 'plan-drawing', role: 'group', 'aria-label': text('plan.title') },
    svg('clipPath', { id: 'plan-plate' }, clip), still, svg('g', { 'clip-path': 'url(#plan-plate)' }, film.element, scanned, fan, truth, calls), line, rail, probe, ...names);
  const sides = sidesView(session);
  const skew = skewHandle(session);
  drawing.append(skew.element);
  const element = html('section', { class: 'card plan', 'aria-labelledby': 'plan-title' },
    html('header', {}, html('h2', { id: 'plan-title' }, text('plan.title')), html('p', { class: 'quiet' }, text('plan.hint'))),
    html('div', { class: 'plan-room' }, drawing, sides.element));

  let scale = 3;
  let from_mm = 0;
  let far_mm = 0;
  let left_px = MARGIN_PX;
  let [width, height] = [0, 0];
  let shown = '';
  // Screen place: y of the plate runs to the right, x upwards; the probe's side has the room.
  const px = (y_mm) => (y_mm - from_mm) * scale + left_px;
  const py = (x_mm) => {
    const plate = height - TAPE_PX;
    const weld = session.pose.side === 'A' ? far_mm * scale : plate - far_mm * scale;
    return weld - x_mm * scale;
  };

  dragging(drawing, {
    start(event) {
      const place = drawing.getBoundingClientRect();
      const y = (event.clientX - place.left - left_px) / scale + from_mm;
      const grabbed = probe.contains(event.target);
      probe.focus({ preventScroll: true });
      if (!grabbed) session.move({ y_mm: y });
      return { y: session.pose.y_mm, offset: session.pose.index_offset_mm, across: grabbed };
    },
    move(start, dx, dy) {
      const away = session.pose.side === 'A' ? dy / scale : -dy / scale;
      session.move({
        y_mm: snapped(start.y + dx / scale, 1),
        ...(start.across && { index_offset_mm: snapped(start.offset + away, 0.5) }),
      });
    },
  });

  function drawStill() {
    const plate = height - TAPE_PX;
    still.replaceChildren(...planStill(session, { px, py, scale, plate, tape_px: TAPE_PX }));
    set(clip, { x: 0, y: 0, width, height: plate - 2 });
    set(drawing, { viewBox: `0 0 ${width} ${height}` });
  }

  function measure() {
    width = drawing.clientWidth;
    height = drawing.clientHeight;
  }

  function layOut() {
    if (!width || !height) return;
    const { length_mm } = session.about;
    const inside = width - 2 * MARGIN_PX;
    scale = Math.max(SMALLEST_SCALE, Math.min(inside / length_mm, (height - TAPE_PX) / ACROSS_MM));
    const room = inside / scale;
    left_px = MARGIN_PX + Math.max(0, inside - length_mm * scale) / 2;
    // Too long for the screen: the window goes with the probe, in steps.
    const steps = Math.round((session.pose.y_mm - room / 2) / 20) * 20;
    from_mm = room >= length_mm ? 0 : Math.min(length_mm - room, Math.max(0, steps));
    // Far from the weld the drawing moves over, in steps, so that the probe stays on it.
    const probe_mm = Math.ceil((session.pose.index_offset_mm + PROBE_MM) / 5) * 5;
    const edge_mm = session.outline.upper_edges_mm[1];
    far_mm = Math.max(5 - edge_mm, Math.min(edge_mm + FAR_MM, (height - TAPE_PX) / scale - probe_mm));
    const key = [width, height, from_mm, far_mm, session.pose.side, session.id].join();
    if (key !== shown) drawStill();
    shown = key;
  }

  function update() {
    layOut();
    const { pose, about, outline } = session;
    const { wedge_width_mm, wedge_length_mm, elevation_mm } = about.procedure.probe;
    const away = pose.side === 'A' ? -1 : 1;
    const edge = py(away * pose.index_offset_mm);
    // The drawing breaks the plate off; the wedge ends where it does.
    const room = pose.side === 'A' ? height - TAPE_PX - 3 - edge : edge;
    const size = [wedge_width_mm * scale, Math.max(10, Math.min(wedge_length_mm * scale, room))];
    const top = pose.side === 'A' ? edge : edge - size[1];
    const turn = `rotate(${pose.side === 'A' ? pose.skew_deg : -pose.skew_deg} ${px(pose.y_mm)} ${edge})`;
    set(probe, { transform: turn, 'aria-valuemin': 0, 'aria-valuemax': about.length_mm, 'aria-valuenow': pose.y_mm,
      'aria-valuetext': text(session.lifted ? 'plan.place.lifted' : 'plan.place', { y_mm: pose.y_mm, offset_mm: pose.index_offset_mm, side: pose.side, face: text(`face.${pose.face}`) }) });
    const grip = Math.max(44, size[0]);
    set(probe.firstChild, { x: px(pose.y_mm) - grip / 2, y: pose.side === 'A' ? edge - 8 : edge - 44, width: grip, height: 52 });
    // It runs behind the wedge, where the hand is.
    const behind = pose.side === 'A' ? top + size[1] : top;
    set(rail, { visibility: session.rail ? null : 'hidden', x1: px(0), x2: px(about.length_mm), y1: behind, y2: behind });
    probe.classList.toggle('below', pose.face === 'lower');
    probe.classList.toggle('lifted', session.lifted);
    skew.show(px(pose.y_mm), edge);
    set(wedge, { x: px(pose.y_mm) - size[0] / 2, y: top, width: size[0], height: size[1] });
    set(front, { x: px(pose.y_mm) - size[0] * 0.42, y: edge - 3, width: size[0] * 0.84, height: 6 });
    set(letter, { x: px(pose.y_mm), y: edge - away * Math.max(10, Math.min(20, size[1] / 2)) });
    say(letter, session.lifted ? `${pose.side} ↑` : pose.side);
    const reach = py(-away * outline.upper_edges_mm[1]);
    // The beam leaves as wide as the elements are long and spreads a little.
    const half = (elevation_mm / 2) * scale;
    const at = px(pose.y_mm);
    set(fan, { visibility: session.lifted ? 'hidden' : null, transform: turn, d: `M${at - half} ${edge}L${at - half * 1.2} ${reach}H${at + half * 1.2}L${at + half} ${edge}Z` });
    set(line, { x1: px(pose.y_mm), x2: px(pose.y_mm), y1: height - TAPE_PX + 2, y2: height - 1 });
    film.draw({ px, py, scale });
    drawScanned(outline);
    drawCalls(outline);
    truth.replaceChildren(...truthAbove(session, { px, py }));
    placeNames();
    sides.update();
  }

  /** The names of the sides stand at the end away from the probe. */
  function placeNames() {
    const { pose, about } = session;
    const [left, right] = [Math.max(px(0), 0) + 8, Math.min(px(about.length_mm), width) - 8];
    const at_left = px(pose.y_mm) > (left + right) / 2;
    names.forEach((name, i) => set(name, { x: at_left ? left : right, 'text-anchor': at_left ? 'start' : 'end', y: i ? 15 : height - TAPE_PX - 9 }));
  }

  /** A band along each side of the weld, as high as the part of the section that was examined there. */
  function drawScanned(outline) {
    const bands = session.about.procedure.sides.flatMap((side) => {
      const { along_percent: slices } = session.examined.of(side);
      const slice_mm = session.about.length_mm / Math.max(1, slices.length);
      const edge = side === 'A' ? outline.upper_edges_mm[0] - 0.5 : outline.upper_edges_mm[1] + 0.5;
      return stretches(slices).map(([from, to, percent]) => {
        const height = Math.max(0.6, (BAND_MM * percent) / 100);
        return svg('rect', { class: `scanned-${side.toLowerCase()}`, x: px(from * slice_mm), width: (to - from) * slice_mm * scale,
          y: side === 'A' ? py(edge) : py(edge + height), height: height * scale });
      });
    });
    scanned.replaceChildren(...bands);
  }

  function drawCalls(outline) {
    calls.replaceChildren(...session.sheet.calls.map((call, index) => {
      if (call.start_mm === null || call.end_mm === null) return svg('g');
      const [from, to] = [px(call.start_mm), px(Math.max(call.end_mm, call.start_mm + 1))];
      const y = py(Math.min(outline.upper_edges_mm[1], Math.max(outline.upper_edges_mm[0], call.offset_mm ?? 0)));
      // The number stands above its mark, or below where the drawing ends.
      const number_y = y < 26 ? y + 15 : y - 15;
      return svg('g', { class: 'call-mark' },
        svg('path', { d: `M${from} ${y - 7}v14M${from} ${y}H${to}M${to} ${y - 7}v14` }),
        svg('circle', { cx: (from + to) / 2, cy: number_y, r: 9 }),
        svg('text', { x: (from + to) / 2, y: number_y + 4, 'text-anchor': 'middle' }, String(index + 1)),
        svg('title', {}, text('plan.call', { n: index + 1, from_mm: call.start_mm, to_mm: call.end_mm })));
    }));
  }

  // To the probe; on a block, that has no drawing of one, away from what had the keys.
  const focus = () => (probe.checkVisibility() ? probe.focus() : document.activeElement.blur());
  const resized = () => {
    measure();
    shown = '';
    if (session.open) update();
  };
  return { element, measure, update, focus, resized };
}
