// The frame at the cursor: the sound of one recorded line in the section of the plate.
import { html, say, set, svg } from './element.js';
import { across } from './geometry.js';
import { fadeBeyondFaces } from './picture.js';
import { text } from './text.js';

const TAPE_PX = 20;
const LEFT_PX = 34;

export function frameView(recording, session) {
  const canvas = html('canvas', { 'aria-hidden': 'true' });
  const context = canvas.getContext('2d');
  const lines = svg('g', { class: 'lines' });
  const hair = svg('path', { class: 'recorded-hair' });
  const hairCase = svg('path', { class: 'recorded-hair-case' });
  const above = svg('svg', { class: 'recorded-above', role: 'img' }, lines, hairCase, hair);
  const stage = html('div', { class: 'recorded-stage recorded-frame' }, canvas, above);
  const caption = html('figcaption', {});
  const scroll = html('input', { type: 'range', min: 0, step: 1, 'aria-label': text('recorded.frame.scroll'),
    oninput: () => recording.scroll(scroll.valueAsNumber - recording.frame_at.line) });
  const element = html('figure', { class: 'recorded-figure' }, caption, stage, scroll);
  let drawn = '';

  async function update() {
    const about = recording.about;
    if (!recording.any) return;
    const { pass, line } = recording.frame_at;
    const course = about.passes[pass];
    if (!course) return;
    const y = course.start_mm + line * course.step_mm;
    say(caption, text('recorded.frame', { y_mm: y, side: course.side, offset_mm: course.index_offset_mm, pass: pass + 1 }));
    set(scroll, { max: course.lines - 1, 'aria-valuetext': text('mm', { value_mm: y }) });
    scroll.value = String(line);
    const [width, height] = [stage.clientWidth, stage.clientHeight];
    if (!width) return;
    const { thickness_mm } = about.setting;
    const beside = 1.5 * thickness_mm;
    const scale = Math.min((width - LEFT_PX) / (2 * beside), (height - TAPE_PX) / (thickness_mm + 7));
    const px = (mm) => LEFT_PX + (width - LEFT_PX) / 2 + mm * scale;
    const py = (mm) => (height - TAPE_PX) / 2 + (mm - thickness_mm / 2) * scale;
    set(above, { viewBox: `0 0 ${width} ${height}`, 'aria-label': caption.textContent });
    const weld = session.open && about.setting.plate_id === session.about.id ? session.outline : null;
    const d = (line_mm) => line_mm.map(([x, z], i) => `${i ? 'L' : 'M'}${px(x).toFixed(1)} ${py(z).toFixed(1)}`).join('');
    lines.replaceChildren(
      svg('path', { class: 'face', d: `M0 ${py(0)}H${width}M0 ${py(thickness_mm)}H${width}` }),
      svg('path', { class: 'preparation', d: (weld?.preparation ?? []).map(d).join('') }),
      svg('path', { class: 'profile', d: [...(weld?.cap ?? []), ...(weld?.root ?? [])].map(d).join('') }));
    const [x, z] = [px(recording.cursor.offset_mm), py(recording.cursor.depth_mm)];
    const cross = `M${x} 0V${z - 9}M${x} ${z + 9}V${height}M0 ${z}H${x - 9}M${x + 9} ${z}H${width}`;
    set(hair, { d: cross });
    set(hairCase, { d: cross });
    const key = [pass, line, width, height, recording.shown.gain_db, recording.shown.leg, course.missing.includes(line)].join();
    if (key === drawn) return;
    drawn = key;
    const painted = await recording.paintFrame();
    if (key !== drawn) return;
    canvas.hidden = !painted;
    if (!painted) return say(caption, text('recorded.frame.missing', { y_mm: y, side: course.side }));
    const { place, buffer } = painted;
    const pixels = new Uint8ClampedArray(buffer);
    fadeBeyondFaces(pixels, place, thickness_mm);
    set(canvas, { width: place.width_px, height: place.height_px });
    context.putImageData(new ImageData(pixels, place.width_px, place.height_px), 0, 0);
    const [near, far] = place.forward_mm.map((ahead) => px(across(course, ahead)));
    const upturned = course.face === 'lower';
    const [top, bottom] = upturned ? place.depth_mm.map((z) => py(thickness_mm - z)).reverse() : place.depth_mm.map(py);
    Object.assign(canvas.style, { left: `${Math.min(near, far)}px`, width: `${Math.abs(far - near)}px`, top: `${top}px`, height: `${bottom - top}px` });
    canvas.classList.toggle('mirrored', far < near);
    canvas.classList.toggle('upturned', upturned);
  }

  return { element, update, again: () => { drawn = ''; } };
}
