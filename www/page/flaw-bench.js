// The flaw bench: one flaw alone in a clean plate, sliders, and what it shows from both sides at once.
import { traceOf } from './beam-name.js';
import { BOARD } from '../shared/messages.js';
import { BoardRun, highest } from './board-run.js';
import { boardSection } from './board-section.js';
import { boardSides } from './board-sides.js';
import { beamChart, boardTrace } from './board-trace.js';
import { html, say, set } from './element.js';
import { reasonItem } from './failure.js';
import { button, selectField, sliderField } from './fields.js';
import { flawMarks } from './flaw-marks.js';
import { KINDS, beginning } from './flaw-kinds.js';
import { begin, kept, limits, plateText } from './flaw-plate.js';
import { number, text } from './text.js';

const UNITS = { tilt_deg: 'unit.deg', bevel_deg: 'unit.deg', branches: null, roughness_ratio: null };
const SLIDERS = ['bevel_deg', 'tilt_deg', 'height_mm', 'length_mm', 'depth_mm', 'offset_mm', 'width_mm', 'branches', 'roughness_ratio', 'thickness_mm'];

/** `take(text)` puts the plate into the plate maker. */
export function flawBenchView(link, { take }) {
  let now = begin();
  const probe = { side: 'A', offset_mm: null, beam_deg: null, gain_db: 0, whole: false };
  const at = { laid: null, frame: null, scan: null, from_sides: null };
  const kind = selectField({ label: 'flaw.kind', options: Object.keys(KINDS).map((k) => [k, text(`kind.${k}`)]), put: (value) => {
    put({ ...beginning(value, now.thickness_mm), side: now.side, seed: now.seed, bevel_deg: 30 });
  } });
  const side = selectField({ label: 'flaw.side', options: ['A', 'B'].map((s) => [s, text('side.name', { side: s })]), put: (value) => put({ side: value }) });
  const sliders = Object.fromEntries(SLIDERS.map((name) => {
    const [, , step, decimals] = limits(now)[name];
    return [name, sliderField({ label: `flaw.${name}`, unit: name in UNITS ? UNITS[name] : 'unit.mm', step, decimals, put: (value) => put({ [name]: value }) })];
  }));
  const from = choice('flaw-from', 'flaw.from', [['A', text('side.name', { side: 'A' })], ['B', text('side.name', { side: 'B' })]], (value) => move({ side: value }));
  const where = choice('flaw-where', 'flaw.where', [['best', text('flaw.where.best')], ['own', text('flaw.where.own')]],
    (value) => move({ offset_mm: value === 'best' ? null : at.scan?.index_offset_mm ?? 20 }));
  const offset = sliderField({ label: 'flaw.probe_mm', unit: 'unit.mm', step: 0.5, put: (value) => move({ offset_mm: value }) });
  const beams = choice('flaw-beams', 'flaw.beams', [['all', text('flaw.beams.all')], ['one', text('flaw.beams.one')]],
    (value) => move({ beam_deg: value === 'all' ? null : at.laid?.beams[at.scan?.beam ?? 0].angle_deg ?? 60 }));
  const angle = sliderField({ label: 'flaw.beam_deg', unit: 'unit.deg', step: 0.5, put: (value) => move({ beam_deg: value }) });
  const gain = sliderField({ label: 'flaw.gain_db', unit: 'unit.db', step: 1, decimals: 0, put: (value) => move({ gain_db: Math.min(30, Math.max(-20, value)) }) });
  const whole = html('input', { type: 'checkbox', onchange: () => move({ whole: whole.checked }) });
  const section = boardSection({ label: text('board.section'), draw: (group, map, laid) => flawMarks(group, map, laid.flaws, 0) });
  const [trace, chart, sides] = [boardTrace(), beamChart(), boardSides()];
  const wrong = html('ul', { class: 'board-problems', role: 'alert', hidden: true });
  const traceTitle = html('h2', {});
  const run = new BoardRun(link, {
    problems(list) {
      set(wrong, { hidden: false });
      wrong.replaceChildren(...list.map(({ message }) => reasonItem(message)));
    },
    laid(laid) {
      set(wrong, { hidden: true });
      Object.assign(at, { laid, from_sides: null });
      for (const one of [kind, side]) one.input.removeAttribute('aria-invalid');
      section.update({ ...at, frame: null, wide_mm: wide() });
    },
    frame(frame, scan) {
      Object.assign(at, { frame, scan });
      show();
    },
    echoes(echoes) {
      at.from_sides = echoes[0] ?? null;
      showSides();
    },
  });

  const actions = html('div', { class: 'row' },
    button({ label: 'flaw.other', press: () => put({ seed: now.seed + 1 }) }),
    button({ label: 'flaw.to_maker', press: async () => take(await link.board(BOARD.FILE)) }));
  const element = html('div', { class: 'board-place flaw-bench' },
    html('header', { class: 'board-head' }, html('h1', { tabindex: -1 }, text('flaw.title')), html('p', { class: 'lead' }, text('flaw.lead'))),
    html('section', { class: 'card board-drawing', 'aria-label': text('board.section') }, section.element, wrong),
    html('section', { class: 'card board-sides-card', 'aria-labelledby': 'flaw-sides' }, html('h2', { id: 'flaw-sides' }, text('board.sides')), sides.element, chart.element),
    html('section', { class: 'card board-fields', 'aria-labelledby': 'flaw-fields' }, html('h2', { id: 'flaw-fields' }, text('flaw.flaw')),
      kind.element, side.element, ...Object.values(sliders).map((one) => one.element), actions),
    html('section', { class: 'card board-probe', 'aria-labelledby': 'flaw-probe' }, html('h2', { id: 'flaw-probe' }, text('flaw.probe')),
      from.element, where.element, offset.element, beams.element, angle.element, gain.element,
      html('label', { class: 'check' }, whole, html('span', {}, text('flaw.whole')))),
    html('section', { class: 'card board-trace-card' }, traceTitle, trace.element),
    html('p', { class: 'caution' }, text('caution.long')));

  const wide = () => 2 * (at.laid.procedure.index_offset_mm[1] + 16);

  function put(part) {
    now = kept({ ...now, ...part });
    showFields();
    want();
  }

  function move(part) {
    Object.assign(probe, part);
    showFields();
    want();
  }

  const want = () => run.want({ name: text('flaw.title'), text: plateText(now), scan: scanOf });

  function scanOf(laid, echoes) {
    const [flaw] = laid.flaws;
    const best = highest(echoes?.[0]?.[laid.procedure.sides.indexOf(probe.side)]);
    const guess = best ?? flaw.sides.find((one) => one.side === probe.side)?.view ?? null;
    const nearest = (deg) => laid.beams.reduce((found, one, i) => (Math.abs(one.angle_deg - deg) < Math.abs(laid.beams[found].angle_deg - deg) ? i : found), 0);
    const beam = nearest(probe.beam_deg ?? guess?.angle_deg ?? 60);
    const [near, far] = laid.procedure.index_offset_mm;
    const own = probe.offset_mm ?? (probe.beam_deg === null ? guess?.index_offset_mm : standFor(laid, flaw, beam, guess?.leg ?? 1)) ?? near;
    return { alone: probe.whole ? null : 0, side: probe.side, index_offset_mm: Math.min(far, Math.max(near, own)),
      y_mm: guess?.y_mm ?? laid.plate.length_mm / 2, gain_db: laid.procedure.reference_gain_db + probe.gain_db, beam };
  }

  /** Where a beam meets the middle of the flaw in a leg. */
  function standFor(laid, { extent }, beam, leg) {
    const [x, z] = [extent.across_mm, extent.depth_mm].map(([a, b]) => (a + b) / 2);
    const t = laid.plate.thickness_mm;
    const down = { 1: z, 2: 2 * t - z, 3: 2 * t + z }[leg];
    const { angle_deg, exit_forward_mm } = laid.beams[beam];
    return exit_forward_mm + down * Math.tan((angle_deg * Math.PI) / 180) - (probe.side === 'A' ? x : -x);
  }

  function showFields() {
    const has = KINDS[now.kind];
    kind.show(now.kind);
    side.show(now.side);
    side.element.hidden = !has.includes('side');
    for (const [name, slider] of Object.entries(sliders)) {
      const [low, high] = limits(now)[name];
      slider.show(now[name], low, Math.max(low, high));
      slider.element.hidden = name === 'bevel_deg' ? has[0] !== 'bevel' : name !== 'thickness_mm' && !has.includes(name.replace(/_(mm|deg|ratio)$/, ''));
    }
    from.choose(probe.side);
    where.choose(probe.offset_mm === null ? 'best' : 'own');
    beams.choose(probe.beam_deg === null ? 'all' : 'one');
    offset.element.hidden = probe.offset_mm === null;
    angle.element.hidden = probe.beam_deg === null;
    gain.show(probe.gain_db, -20, 30);
    const { laid } = at;
    if (!laid) return;
    if (probe.offset_mm !== null) offset.show(probe.offset_mm, ...laid.procedure.index_offset_mm);
    if (probe.beam_deg !== null) angle.show(probe.beam_deg, laid.beams[0].angle_deg, laid.beams.at(-1).angle_deg);
  }

  function show() {
    const { laid, frame, scan } = at;
    section.update({ laid, frame, scan, wide_mm: wide() });
    section.name(text('board.section.label', { side: scan.side, offset_mm: scan.index_offset_mm, angle: number(laid.beams[scan.beam].angle_deg) }));
    say(traceTitle, traceOf(laid.beams, scan.beam));
    trace.update(laid, frame, scan.beam, highest(at.from_sides?.[laid.procedure.sides.indexOf(scan.side)]));
    showFields();
    showSides();
  }

  function showSides() {
    if (!at.laid || !at.scan) return;
    sides.update(at.laid, at.from_sides, probe.beam_deg === null ? null : at.scan.beam);
    if (at.from_sides?.some(Boolean)) chart.update(at.laid, at.from_sides, at.scan.beam);
  }

  return { element, update() {
    showFields();
    want();
  } };
}

/** A row of radio buttons with its name above. */
function choice(name, label, options, chosen) {
  const inputs = options.map(([value]) => html('input', { type: 'radio', name, value, onchange: () => chosen(value) }));
  const element = html('fieldset', { class: 'board-choice' }, html('legend', {}, text(label)),
    html('div', { class: 'choice' }, options.map(([, words], i) => html('label', {}, inputs[i], html('span', {}, words)))));
  return { element, choose: (value) => inputs.forEach((input) => { input.checked = input.value === value; }) };
}
