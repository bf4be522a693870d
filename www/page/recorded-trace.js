// The echo trace of the recorded beam at the cursor, with the sound-path gate that all views keep to.
import { html, say, set, svg } from './element.js';
import { numberField } from './fields.js';
import { rulerMarks } from './ruler.js';
import { number, text } from './text.js';

const [LEFT_PX, RIGHT_PX, TAPE_PX] = [30, 10, 18];

export function recordedTrace(recording) {
  const grid = svg('g', { class: 'recorded-ruler' });
  const gate = svg('rect', { class: 'recorded-gate' });
  const curve = svg('path', { class: 'recorded-curve' });
  const here = svg('path', { class: 'recorded-hair' });
  const drawing = svg('svg', { class: 'recorded-above', role: 'img' }, grid, gate, curve, here);
  const caption = html('figcaption', {});
  const stage = html('div', { class: 'recorded-stage recorded-frame' }, drawing);
  const ends = [0, 1].map((i) => numberField({ label: `recorded.gate.${i}`, unit: 'unit.mm', step: 0.5, optional: true, put: (mm) => {
    const all = [0, recording.about.setting.range_mm];
    const span = [...(recording.shown.sound_path_mm ?? all)];
    span[i] = Math.min(all[1], Math.max(0, mm ?? all[i]));
    span.sort((a, b) => a - b);
    recording.show({ sound_path_mm: span[0] === all[0] && span[1] === all[1] ? null : span });
  } }));
  const element = html('figure', { class: 'recorded-figure' }, caption, stage, html('div', { class: 'pair-even' }, ends.map((end) => end.element)));
  let serial = 0;

  async function update() {
    if (!recording.any) return;
    const { range_mm, path_step_mm } = recording.about.setting;
    const [from, to] = recording.shown.sound_path_mm ?? [0, range_mm];
    [from, to].forEach((mm, i) => ends[i].show(mm));
    const now = ++serial;
    const percent = await recording.trace();
    const [width, height] = [stage.clientWidth, stage.clientHeight - TAPE_PX];
    if (now !== serial || !width) return;
    const px = (mm) => LEFT_PX + (mm / range_mm) * (width - LEFT_PX - RIGHT_PX);
    const py = (high) => 4 + (height - 4) * (1 - Math.min(high, 105) / 105);
    const { reading } = recording;
    say(caption, reading ? text('recorded.trace', { angle: number(reading.angle_deg) }) : text('recorded.trace.none'));
    set(drawing, { viewBox: `0 0 ${width} ${height + TAPE_PX}`, 'aria-label': caption.textContent });
    const marks = rulerMarks(0, range_mm, px(1) - px(0), 36);
    grid.replaceChildren(
      ...[0, 50, 100].flatMap((high) => [svg('path', { d: `M${LEFT_PX} ${py(high)}H${width - RIGHT_PX}` }),
        svg('text', { x: LEFT_PX - 4, y: py(high) + 6, 'text-anchor': 'end' }, number(high, 0))]),
      ...marks.map(({ mm, words }) => svg('text', { x: px(mm), y: height + TAPE_PX - 4, 'text-anchor': 'middle' }, words)));
    set(gate, { x: px(from), width: Math.max(1, px(to) - px(from)), y: 4, height: height - 4, visibility: recording.shown.sound_path_mm ? 'visible' : 'hidden' });
    // A trace has four points to a sample.
    const points = [...(percent ?? [])].map((high, i) => `${px((i * path_step_mm) / 4).toFixed(1)} ${py(high).toFixed(1)}`);
    set(curve, { d: points.length ? `M${points.join('L')}` : '' });
    set(here, { d: reading ? `M${px(reading.sound_path_mm)} 4V${height}` : '' });
  }
  return { element, update };
}
