// The block with the probe on it, and the chart of what is left on each beam.
import { html, svg } from './element.js';
import { number, text } from './text.js';

const CHART = { width: 320, height: 150, left: 44, bottom: 24 };
/** Marks differ in shape too: hollow before, full after. */
const RADIUS = 2;

/** The block from the side; `place(mm)` puts the wedge front at an index offset. */
export function blockDrawing({ outline, thickness_mm, width_mm, wedge_length_mm, side }) {
  const half = width_mm / 2;
  const lines = [...outline.root, ...outline.cap].filter((line) => Array.isArray(line?.[0]));
  const wedge = svg('path', { class: 'wedge' });
  const element = svg('svg', { class: 'block-drawing', role: 'img', 'aria-label': text('calibration.block'),
    viewBox: `${-half - 4} -26 ${width_mm + 8} ${thickness_mm + 32}` },
    svg('rect', { class: 'plan-metal', x: -half, y: 0, width: width_mm, height: thickness_mm }),
    lines.map((line) => svg('polyline', { class: 'block-line', points: line.map(([x, z]) => `${x},${z}`).join(' ') })), wedge);
  const sign = side === 'A' ? 1 : -1;
  return {
    element,
    place(index_offset_mm) {
      const front = -sign * index_offset_mm;
      const back = front - sign * wedge_length_mm;
      wedge.setAttribute('d', `M${front} 0V-22L${back} -8V0Z`);
    },
  };
}

/** Residual over angle with the band that is aimed at. */
export function residualChart(angles, key, unit, aim, tolerance) {
  const { width, height, left, bottom } = CHART;
  const [low, high] = [angles[0], angles.at(-1)];
  const reach = tolerance * 4;
  const x = (beam) => left + ((angles[beam] - low) / Math.max(1, high - low)) * (width - left - 8);
  const y = (value) => {
    const part = Math.max(-1, Math.min(1, (value - aim) / reach));
    return 6 + ((1 - part) / 2) * (height - bottom - 12);
  };
  const dots = svg('g');
  const label = (value) => svg('text', { class: 'chart-text', x: left - 4, y: y(value) + 4, 'text-anchor': 'end' }, `${number(value)}`);
  const drawing = svg('svg', { class: 'residual-chart', viewBox: `0 0 ${width} ${height}`, 'aria-hidden': 'true' },
    svg('rect', { class: 'chart-band', x: left, width: width - left - 8, y: y(aim + tolerance), height: y(aim - tolerance) - y(aim + tolerance) }),
    svg('line', { class: 'chart-aim', x1: left, x2: width - 8, y1: y(aim), y2: y(aim) }), dots,
    [aim - reach, aim, aim + reach].map(label),
    svg('text', { class: 'chart-text', x: left, y: height - 6 }, `${number(low, 0)}°`),
    svg('text', { class: 'chart-text', x: width - 8, y: height - 6, 'text-anchor': 'end' }, `${number(high, 0)}°`));
  const words = html('p', { class: 'quiet' });
  const element = html('figure', { class: 'residuals' },
    html('figcaption', {}, text(`calibration.chart.${key}`, { unit, aim: number(aim, 0), tolerance: number(tolerance) })), drawing, words);
  const mark = (style) => ({ beam, [key]: value }) => svg('circle', { class: style, cx: x(beam), cy: y(value), r: RADIUS });
  const worst = (all) => all.reduce((most, one) => Math.max(most, Math.abs(one[key] - aim)), 0);
  return {
    element,
    show(before, after) {
      dots.replaceChildren(...before.map(mark('chart-before')), ...after.map(mark('chart-after')));
      words.textContent = !before.length ? '' : text(after.length ? 'calibration.worst' : 'calibration.worst_now',
        { before: number(worst(before)), after: number(worst(after)), unit });
    },
  };
}
