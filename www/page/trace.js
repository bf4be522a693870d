// The echo trace of the chosen beam, with the gate to drag and the faces the beam meets.
import { traceOf } from './beam-name.js';
import { dragging } from './drag.js';
import { html, say, set, svg } from './element.js';
import { pathToFace } from './geometry.js';
import { number, text } from './text.js';

const TOP_PERCENT = 112;
const BOTTOM_PX = 20;

export function traceView(session) {
  const grid = svg('g', { class: 'trace-grid' });
  const curve = svg('path', { class: 'trace-curve' });
  const gates = [traceGate(0, 'trace.gate'), traceGate(1, 'trace.second_gate')];
  const peak = svg('path', { class: 'reading-mark' });
  const drawing = svg('svg', { class: 'trace-drawing', role: 'group', 'aria-label': text('trace.title') }, grid, curve, peak, gates[1].element, gates[0].element);
  const title = html('h2', { id: 'trace-title' });
  const element = html('section', { class: 'card trace', 'aria-labelledby': 'trace-title' },
    html('header', {}, title, html('p', { class: 'quiet' }, text('trace.hint'))), drawing);
  const size = { width: 0, height: 0 };
  const px = (path_mm) => 30 + (path_mm / session.about.procedure.range_mm) * (size.width - 42);
  // A wave that is not rectified swings below the line too.
  const lowest = () => (session.about.receiver.rectification === 'unrectified' ? -TOP_PERCENT : 0);
  const py = (percent) => (size.height - BOTTOM_PX) * ((TOP_PERCENT - percent) / (TOP_PERCENT - lowest()));
  const gateOf = (second) => (second ? session.second_gate : session.gate);
  const put = (second, part) => session.adjust(second ? { second_gate: { ...session.second_gate, ...part } } : { gate: part });

  dragging(drawing, {
    start(event) {
      const part = event.target.dataset?.part;
      if (part) {
        const second = event.target.parentNode.dataset.gate === '1';
        gates[Number(second)].element.focus({ preventScroll: true });
        return { part, second, ...gateOf(second) };
      }
      const x = event.clientX - drawing.getBoundingClientRect().left;
      const path = ((x - 30) / (size.width - 42)) * session.about.procedure.range_mm;
      session.adjust({ gate: { start_mm: path - session.gate.length_mm / 2 } });
      return { part: 'body', second: false, ...session.gate };
    },
    move(start, dx, dy) {
      const along = (dx / (size.width - 42)) * session.about.procedure.range_mm;
      const percent = start.threshold_percent - (dy / (size.height - BOTTOM_PX)) * (TOP_PERCENT - lowest());
      put(start.second, start.part === 'end'
        ? { length_mm: start.length_mm + along }
        : { start_mm: start.start_mm + along, threshold_percent: percent });
    },
  });

  function drawGrid() {
    const { procedure, thickness_mm, beams } = session.about;
    const parts = [0, 20, 40, 60, 80, 100].flatMap((percent) => (lowest() && percent ? [percent, -percent] : [percent])).map((percent) => svg('g', {},
      svg('line', { x1: 30, x2: size.width - 12, y1: py(percent), y2: py(percent) }),
      percent % 40 ? null : svg('text', { x: 26, y: py(percent) + 4, 'text-anchor': 'end' }, number(percent, 0))));
    for (let n = 0; ; n++) {
      const path = pathToFace(beams[session.beam], thickness_mm, n);
      if (path > procedure.range_mm) break;
      const [x, room] = [px(path), size.width - px(path)];
      const crowded = n > 1 && x - px(pathToFace(beams[session.beam], thickness_mm, n - 1)) < 74;
      parts.push(svg('g', { class: 'face-mark' }, svg('line', { x1: x, x2: x, y1: 0, y2: size.height - BOTTOM_PX }),
        crowded || room < 70 ? null : svg('text', { x: x + 4, y: size.height - 5 },
          text(n === 0 ? 'trace.start' : n % 2 ? 'trace.back_wall' : 'trace.top_again'))));
    }
    const level = session.recordingPercent();
    if (level < TOP_PERCENT) {
      parts.push(svg('g', { class: 'level-mark' }, svg('line', { x1: 30, x2: size.width - 12, y1: py(level), y2: py(level) }),
        svg('text', { x: size.width - 14, y: py(level) - 4, 'text-anchor': 'end' }, text('said.shot.level'))));
    }
    grid.replaceChildren(...parts);
  }

  function drawCurve({ trace, reading }) {
    const percent = new Float32Array(trace.buffer);
    // One point a pixel column: its highest sample, so that no peak is lost.
    const columns = Math.max(1, Math.floor(size.width - 42));
    const count = Math.min(percent.length, Math.floor(session.about.procedure.range_mm / trace.step_mm) + 1);
    const every = Math.max(1, Math.floor(count / columns));
    let d = '';
    for (let i = 0; i < count; i += every) {
      let [high, low] = [percent[i], percent[i]];
      for (let k = i; k < Math.min(i + every, count); k++) [high, low] = [Math.max(high, percent[k]), Math.min(low, percent[k])];
      d += `${d ? 'L' : 'M'}${px(i * trace.step_mm).toFixed(1)} ${py(Math.min(high, TOP_PERCENT)).toFixed(1)}`;
      if (lowest()) d += `L${px(i * trace.step_mm).toFixed(1)} ${py(Math.max(low, -TOP_PERCENT)).toFixed(1)}`;
    }
    set(curve, { d });
    set(peak, { visibility: reading ? 'visible' : 'hidden' });
    if (reading) {
      const [x, y] = [px(reading.sound_path_mm), py(Math.min(reading.amplitude_percent, TOP_PERCENT))];
      set(peak, { d: `M${x - 5} ${y}a5 5 0 1 0 10 0a5 5 0 1 0 -10 0` });
    }
  }

  function measure() {
    size.width = drawing.clientWidth;
    size.height = drawing.clientHeight;
  }

  function update() {
    if (!size.width || !size.height) return;
    set(drawing, { viewBox: `0 0 ${size.width} ${size.height}` });
    say(title, traceOf(session.about.beams, session.beam));
    drawGrid();
    if (session.frame) drawCurve(session.frame);
    gates.forEach((one, i) => one.show(gateOf(i === 1), px, py, session.about.procedure.range_mm));
  }

  const resized = () => {
    measure();
    if (session.open) update();
  };
  return { element, measure, update, resized };
}

/** A gate on the trace: a line with ends, its body and its end to drag. */
function traceGate(index, label) {
  const line = svg('path', { class: 'gate' });
  const body = svg('rect', { class: 'grip', 'data-part': 'body' });
  const end = svg('rect', { class: 'grip', 'data-part': 'end' });
  const name = index ? svg('text', { class: 'gate-number', 'text-anchor': 'end' }, '2') : null;
  const element = svg('g', { class: 'trace-gate', 'data-gate': index, tabindex: 0, role: 'slider', 'aria-label': text(label) }, line, name, body, end);
  return {
    element,
    show(gate, px, py, range_mm) {
      set(element, { visibility: gate ? null : 'hidden', tabindex: gate ? 0 : -1 });
      if (!gate) return;
      const { start_mm, length_mm, threshold_percent } = gate;
      const [from, to, y] = [px(start_mm), px(start_mm + length_mm), py(threshold_percent)];
      set(line, { d: `M${from} ${y - 7}v14M${from} ${y}H${to}M${to} ${y - 7}v14`, 'stroke-dasharray': index ? '6 3' : null });
      if (name) set(name, { x: from - 4, y: y + 5 });
      set(body, { x: from - 12, y: y - 22, width: Math.max(24, to - from), height: 44 });
      set(end, { x: to - 6, y: y - 22, width: 30, height: 44 });
      set(element, { 'aria-valuemin': 0, 'aria-valuemax': range_mm, 'aria-valuenow': start_mm,
        'aria-valuetext': text('trace.gate.value', { start_mm, end_mm: start_mm + length_mm, threshold: number(threshold_percent, 0) }) });
    },
  };
}
