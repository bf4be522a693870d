// The section across the weld with the sound in it, to scale: the picture below, everything crisp above it.
import { colourScale } from './colour-scale.js';
import { dragging } from './drag.js';
import { html, say, set, svg } from './element.js';
import { explain } from './explain.js';
import { across, beamThrough, forward } from './geometry.js';
import { fadeBeyondFaces } from './picture.js';
import { number, text } from './text.js';
import { snapped } from './units.js';
import { overlay } from './section-overlay.js';
import { still } from './section-still.js';

/** Room above the upper face for the wedge and below the lower face for the root, mm. */
const ABOVE_MM = 11;
const BELOW_MM = 4;
/** The same over a block, where the whole wedge is to be seen. */
const ABOVE_BLOCK_MM = 26;
/** Room on the far side of the weld, mm. */
const BEYOND_MM = 20;
/** On small screens the far end of the wedge gives way before the weld gets too small, px per mm. */
const SMALLEST_SCALE = 5;

export function sectionView(session, notice) {
  const canvas = html('canvas', { 'aria-hidden': 'true' });
  const context = canvas.getContext('2d');
  const ground = svg('svg', { class: 'section-ground', 'aria-hidden': 'true' });
  const above = svg('svg', { class: 'section-above', role: 'img', 'aria-label': text('section.title') });
  const stage = html('div', { class: 'section-stage' }, ground, canvas, above);
  const title = html('h2', { id: 'section-title' });
  const scale = colourScale();
  const views = choice('section-view', 'section.view', [['folded', 'section.folded'], ['unfolded', 'section.unfolded']],
    (view) => session.adjust({ view }));
  const legs = choice('section-leg', 'section.leg', [['', 'section.leg.all'], ['1', 'section.leg.1'], ['2', 'section.leg.2'],
    ['3', 'section.leg.3']], (leg) => session.adjust({ leg: leg === '' ? null : Number(leg) }));
  const element = html('section', { class: 'card section', 'aria-labelledby': 'section-title' },
    html('header', {}, title, scale.element, html('div', { class: 'choices' }, views.element, legs.element)), stage);

  const map = { x: (x) => x, z: (z) => z, scale: 1, width: 0, height: 0 };
  let shown = '';

  function measure() {
    map.width = stage.clientWidth;
    map.height = stage.clientHeight;
  }

  function layOut() {
    if (!map.width || !map.height) return false;
    const { thickness_mm, procedure, block, width_mm } = session.about;
    const folded = session.view === 'folded';
    // Unfolded, everything is drawn from the face the probe stands on.
    const below = folded && session.pose.face === 'lower';
    const room = block ? ABOVE_BLOCK_MM : ABOVE_MM;
    const [over, under] = below ? [BELOW_MM * 2, room] : [room, BELOW_MM];
    const deep = folded ? thickness_mm + under : session.frame?.picture.place.depth_mm[1] ?? 3 * thickness_mm;
    const wide = block ? width_mm + BEYOND_MM : procedure.index_offset_mm[1] + BEYOND_MM + 24;
    map.scale = Math.max(Math.min(map.width / wide, map.height / (deep + over)), folded && !block ? SMALLEST_SCALE : 0);
    const sign = session.pose.side === 'A' ? 1 : -1;
    // The weld stays where it is while the probe moves; spare width goes to both sides.
    const spare = Math.max(0, map.width - wide * map.scale);
    const fromEdge = BEYOND_MM * map.scale + spare * 0.35;
    const weld = block ? map.width / 2 : sign > 0 ? map.width - fromEdge : fromEdge;
    const top = (map.height - (deep + over) * map.scale) / 2 + over * map.scale;
    map.x = (x_mm) => weld + x_mm * map.scale;
    map.z = (z_mm) => top + z_mm * map.scale;
    map.toX = (px) => (px - weld) / map.scale;
    map.toZ = (px) => (px - top) / map.scale;
    map.deep = deep;
    return true;
  }

  function drawStill() {
    const key = [map.width, map.height, map.scale, map.x(0), map.deep, session.view, session.pose.face, session.id].join();
    if (key === shown) return;
    shown = key;
    set(ground, { viewBox: `0 0 ${map.width} ${map.height}` });
    set(above, { viewBox: `0 0 ${map.width} ${map.height}` });
    const { behind, before } = still(map, session);
    ground.replaceChildren(...behind);
    above.replaceChildren(before, moving.element);
  }

  function placePicture({ setup, picture }) {
    const { place, buffer } = picture;
    if (canvas.width !== place.width_px || canvas.height !== place.height_px) {
      set(canvas, { width: place.width_px, height: place.height_px });
    }
    const pixels = new Uint8ClampedArray(buffer, 0, place.width_px * place.height_px * 4);
    if (session.view === 'folded') fadeBeyondFaces(pixels, place, session.about.thickness_mm);
    context.putImageData(new ImageData(pixels, place.width_px, place.height_px), 0, 0);
    const [near, far] = place.forward_mm.map((ahead) => map.x(across(setup.pose, ahead)));
    const upturned = setup.pose.face === 'lower' && session.view === 'folded';
    const [top, bottom] = upturned ? place.depth_mm.map((z) => map.z(session.about.thickness_mm - z)).reverse() : place.depth_mm.map(map.z);
    canvas.style.left = `${Math.min(near, far)}px`;
    canvas.style.top = `${top}px`;
    canvas.style.width = `${Math.abs(far - near)}px`;
    canvas.style.height = `${bottom - top}px`;
    canvas.classList.toggle('mirrored', far < near);
    canvas.classList.toggle('upturned', upturned);
  }

  const moving = overlay();

  function update() {
    views.choose(session.view);
    legs.choose(session.leg === null ? '' : String(session.leg));
    say(title, text('section.at', { y_mm: session.pose.y_mm }));
    scale.show(session.about.colours, text('section.legend.high'));
    if (!layOut()) return;
    drawStill();
    // Picture and lines above it belong together: both show the set-up of the frame at hand.
    if (session.frame) placePicture(session.frame);
    moving.update(map, session);
    set(above, { 'aria-label': text(session.about.block ? 'section.label.block' : 'section.label', {
      side: session.pose.side, y_mm: session.pose.y_mm, offset_mm: session.pose.index_offset_mm,
      angle: number(session.about.beams[session.beam].angle_deg), face: text(`face.${session.pose.face}`) }) });
  }

  // The wedge is dragged to and fro; along the weld it is moved on the plan.
  dragging(moving.wedge, {
    start: () => session.pose,
    move({ side, index_offset_mm }, dx) {
      const right = dx / map.scale;
      session.move({ index_offset_mm: snapped(index_offset_mm + (side === 'A' ? -right : right), 0.5) });
    },
  });
  stage.addEventListener('click', async (event) => {
    if (event.target === moving.wedge) return;
    const place = stage.getBoundingClientRect();
    const [x, z] = [map.toX(event.clientX - place.left), map.toZ(event.clientY - place.top)];
    const spot = session.view === 'folded'
      ? await session.spotAt(x, z)
      : beamThrough(session.about.beams, forward(session.pose, x), z);
    if (spot) session.gateOn(spot);
    else notice(text('section.no_sound'));
  });

  const resized = () => {
    measure();
    shown = '';
    if (session.open) update();
  };
  return { element, measure, update, resized };
}

/** A row of radio buttons. */
function choice(name, label, options, chosen) {
  const inputs = options.map(([value]) => html('input', { type: 'radio', name, value, onchange: () => chosen(value) }));
  const element = html('fieldset', { class: 'choice' }, html('legend', { class: 'unseen' }, text(label)),
    options.map(([, key], i) => explain(html('label', {}, inputs[i], html('span', {}, text(key))), key)));
  return {
    element,
    choose(value) {
      for (const input of inputs) input.checked = input.value === value;
    },
  };
}
