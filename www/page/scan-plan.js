// The scan plan: the section to scale with the legs over the weld, and hatched what no beam reaches.
import { html, say, set, svg } from './element.js';
import { across, beamPoint, pathToFace } from './geometry.js';
import { number, text } from './text.js';

/** Beams drawn of each fan. */
const BEAMS_DRAWN = 7;
/** Gaps told in words. */
const GAPS_TOLD = 2;
const MARGIN_MM = 4;
const WEDGE_MM = 9;
let count = 0;

export function scanPlanView(session) {
  const id = `unreached-${++count}`;
  const hatch = svg('pattern', { id, width: 6, height: 6, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
    svg('rect', { width: 6, height: 6, class: 'unreached-ground' }), svg('line', { y2: 6, class: 'unreached-line' }));
  const ground = svg('g', {});
  const beams = svg('g', { class: 'plan-beams' });
  const dark = svg('g', { class: 'unreached' });
  const lines = svg('g', { class: 'lines' });
  const wedges = svg('g', {});
  const drawing = svg('svg', { class: 'scan-plan-drawing', role: 'img' }, svg('defs', {}, hatch), ground, beams, dark, lines, wedges);
  const words = html('ul', { class: 'scan-plan-words' });
  const element = html('div', { class: 'scan-plan' }, drawing, words, html('p', { class: 'quiet' }, text('scan_plan.key')));

  /** Draws a plan for stands: [{side, face}] at an index offset, with a probe and the legs that count. */
  function draw({ plan, stands, offset_mm, legs, probe, range_mm }) {
    const { thickness_mm: t, width_mm } = session.about;
    const { outline } = session;
    const half = Math.min(width_mm / 2, Math.max(offset_mm + probe.wedge_length_mm * 0.6, ...outline.upper_edges_mm.map(Math.abs)) + MARGIN_MM);
    const lower = stands.some(({ face }) => face === 'lower');
    const upper = stands.some(({ face }) => face === 'upper');
    const top = upper ? WEDGE_MM + 2 : 4;
    const tall = top + t + (lower ? WEDGE_MM + 2 : 4);
    set(drawing, { viewBox: `${-half} ${-top} ${2 * half} ${tall}` });
    drawing.style.aspectRatio = `${2 * half} / ${tall}`;
    const d = (line) => line.map(([x, z], i) => `${i ? 'L' : 'M'}${x.toFixed(2)} ${z.toFixed(2)}`).join('');
    ground.replaceChildren(svg('rect', { class: 'plan-metal', x: -half, y: 0, width: 2 * half, height: t }),
      ...[...outline.cap, ...outline.root].map((line) => svg('path', { class: 'plan-metal', d: `${d(line)}Z` })));
    lines.replaceChildren(
      svg('path', { class: 'heat-affected', d: outline.heat_affected.map(d).join('') }),
      svg('path', { class: 'preparation-on-card', d: [...outline.preparation, ...outline.cap, ...outline.root].map(d).join('') }),
      svg('path', { class: 'face', d: `M${-half} 0H${half}M${-half} ${t}H${half}` }));
    beams.replaceChildren(...(plan ? stands.flatMap((stand) => fan(stand)) : []));
    wedges.replaceChildren(...stands.map(wedge));
    dark.replaceChildren(...(plan?.coverage?.unreached_mm ?? []).map(([x, end, z, bottom]) =>
      svg('rect', { x, y: z, width: end - x, height: bottom - z, fill: `url(#${id})` })));
    // Millimetres are the drawing's unit: the hatching keeps its size on the screen.
    const mm = (2 * half) / Math.max(1, drawing.clientWidth);
    set(hatch, { patternTransform: `rotate(45) scale(${mm.toFixed(4)})` });

    function fan({ side, face }) {
      const pose = { side, index_offset_mm: offset_mm, skew_deg: 0 };
      const place = (beam, path_mm) => {
        const [ahead, depth] = beamPoint(beam, path_mm, t, true);
        return [across(pose, ahead), face === 'lower' ? t - depth : depth];
      };
      const every = (plan.beams.length - 1) / (BEAMS_DRAWN - 1);
      return [...new Set(Array.from({ length: BEAMS_DRAWN }, (_, i) => Math.round(i * every)))].flatMap((index) => {
        const beam = plan.beams[index];
        return Array.from({ length: legs }, (_, leg) => {
          const [from, to] = [pathToFace(beam, t, leg), Math.min(range_mm, pathToFace(beam, t, leg + 1))];
          return from >= range_mm ? null : svg('path', { class: `plan-leg plan-leg-${leg + 1}`, d: d([place(beam, from), place(beam, to)]) });
        });
      }).filter(Boolean);
    }

    function wedge({ side, face }) {
      const away = side === 'A' ? -1 : 1;
      const [front, back] = [away * offset_mm, away * (offset_mm + probe.wedge_length_mm)];
      const [z, out] = face === 'lower' ? [t, 1] : [0, -1];
      const lip = front + away * probe.wedge_length_mm * 0.35;
      return svg('g', {},
        svg('path', { class: 'wedge', d: `M${front} ${z}L${front} ${z + out * 3}L${lip} ${z + out * WEDGE_MM}L${back} ${z + out * WEDGE_MM * 0.5}L${back} ${z}Z` }),
        svg('text', { class: 'plan-side', x: (front + lip) / 2 + away * 2, y: z + out * 4.2 + 1.6, 'text-anchor': 'middle' }, side));
    }
  }

  function tell(plan) {
    const said = sentences(plan);
    words.replaceChildren(...said.map((line) => html('li', {}, line)));
    set(drawing, { 'aria-label': text('scan_plan.label', { words: said.join(' ') }) });
  }

  return {
    element,
    show: (drawn) => {
      element.classList.toggle('stale', !drawn.plan);
      if (drawn.plan) {
        draw(drawn);
        tell(drawn.plan);
      } else words.replaceChildren(html('li', {}, text('scan_plan.stale')));
    },
  };
}

function sentences({ coverage }) {
  if (!coverage) return [text('scan_plan.no_weld')];
  const { reached_percent, gaps } = coverage;
  if (gaps.length === 0) return [text('scan_plan.whole')];
  // Never "100 %" of what is not whole.
  const percent = number(Math.min(99.9, reached_percent), reached_percent > 99 ? 1 : 0);
  const told = gaps.slice(0, GAPS_TOLD).map(({ offset_mm, depth_mm }) => text('scan_plan.gap', { from_mm: depth_mm[0],
    to_mm: depth_mm[1], left_mm: offset_mm[0], right_mm: offset_mm[1] }));
  const more = gaps.length - told.length;
  return [text('scan_plan.reached', { percent }), ...told, ...(more > 0 ? [text('scan_plan.more', { count: more })] : [])];
}
