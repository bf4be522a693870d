// The set-up: probe and wedge, beams, focus, range, receiver, and above them the scan plan they make.
import { html, say, set } from './element.js';
import { button, selectField } from './fields.js';
import { scanPlanView } from './scan-plan.js';
import { setUpFields } from './set-up-fields.js';
import { number, text } from './text.js';

/** The fields that a problem belongs to. */
const PLACE = { 'aperture-too-wide': 'beams', 'near-first-critical': 'beams', 'beyond-second-critical': 'beams',
  'grating-lobe': 'beams', 'ahead-of-wedge': 'beams', 'too-few-steps': 'beams', 'linear-not-calibrated': 'beams', 'linear-grating-lobe': 'beams' };
const PLACE_OF_NAME = [[/focus/, 'focus'], [/^range/, 'range'], [/^receiver/, 'receiver'], [/^probe/, 'probe']];

export function setUpView(session) {
  const state = html('p', { class: 'set-up-state', role: 'status' });
  const prescribed = button({ label: 'set_up.prescribed', press: () => change(() => structuredClone(sheet.prescribed)) });
  const plan = scanPlanView(session);
  const sides = selectField({ label: 'scan_plan.sides', put: () => replan(),
    options: ['both', 'A', 'B'].map((value) => [value, text(`scan_plan.sides.${value}`)]) });
  const offsets = selectField({ label: 'scan_plan.offsets', put: () => replan(), options: [['all', ''], ['here', '']] });
  const legs = selectField({ label: 'scan_plan.legs', put: () => replan(), options: [3, 2, 1].map((count) => [count, text(`scan_plan.legs.${count}`)]) });
  const fields = setUpFields((alter) => change((draft) => (alter(draft), draft)));
  const element = html('section', { class: 'card set-up', 'aria-labelledby': 'set-up-title' },
    html('header', {}, html('h2', { id: 'set-up-title' }, text('set_up.title')), prescribed), state,
    html('div', { class: 'pair-even' }, sides.element, offsets.element, legs.element), plan.element, fields.element);

  let sheet = null;
  let draft = null;
  let of = null;
  let wanted = null;
  let busy = false;
  let planned = '';
  let planning = false;
  let last = { asked: '', found: null };
  let words = '';

  async function load() {
    of = session.serial;
    [sheet, draft, planned] = [null, null, ''];
    words = '';
    sheet = await session.setUpSheet();
    draft = structuredClone(sheet.set_up);
    fields.fill(sheet);
    show([]);
    update();
  }

  /** Alters the draft and asks for it; while one is worked on, only the newest waits. */
  async function change(alter) {
    if (!sheet) return;
    draft = alter(structuredClone(draft));
    wanted = draft;
    if (busy) return;
    busy = true;
    try {
      while (wanted) {
        const next = wanted;
        wanted = null;
        say(state, text('set_up.working'));
        const { set_up, problems } = await session.changeSetUp(next);
        sheet.set_up = set_up;
        words = problems.length ? '' : text('set_up.done', { beams: session.about.beams.length });
        if (!wanted) show(problems);
      }
    } finally {
      busy = false;
    }
    update();
  }

  function show(problems) {
    fields.show(draft, sheet);
    const told = { probe: [], beams: [], focus: [], range: [], receiver: [] };
    for (const problem of problems) told[place(problem)].push(sentence(problem));
    fields.problems(told);
    const parts = Object.keys(told).filter((part) => differs(part));
    const standing = parts.length ? text('set_up.changed', { parts: parts.map((part) => text(`set_up.part.${part}`)).join(', ') }) : text('set_up.same');
    say(state, problems.length ? text('set_up.refused') : `${words} ${standing}`.trim());
    state.classList.toggle('refused', problems.length > 0);
    prescribed.disabled = parts.length === 0;
  }

  function differs(part) {
    const facts = { probe: ({ probe }) => probe, range: ({ range_mm }) => range_mm, receiver: ({ receiver }) => receiver,
      beams: ({ sector }) => ({ ...sector, focus_path_mm: null, focus_depth_mm: null }),
      focus: ({ sector }) => [sector.focus_path_mm ?? null, sector.focus_depth_mm ?? null] }[part];
    return JSON.stringify(facts(draft)) !== JSON.stringify(facts(sheet.prescribed));
  }

  /** Asks for the plan of what is wanted now; while one is worked out, only the newest waits. */
  async function replan() {
    if (!draft || planning) return;
    planning = true;
    try {
      while (await planOnce()) { /* until nothing has changed meanwhile */ }
    } finally {
      planning = false;
    }
  }

  /** Whether there was something new to plan. */
  async function planOnce() {
    const { pose, about: { procedure } } = session;
    const chosen = sides.input.value === 'both' ? ['A', 'B'] : [sides.input.value];
    const here = offsets.input.value === 'here';
    const index_offset_mm = here ? [pose.index_offset_mm, pose.index_offset_mm] : procedure.index_offset_mm;
    const face = pose.face ?? 'upper';
    const wish = { set_up: draft, face, sides: chosen, index_offset_mm, legs: Number(legs.input.value) };
    const key = JSON.stringify([wish, pose.index_offset_mm, of]);
    if (key === planned) return false;
    planned = key;
    // While the probe is moved where all offsets count, only the drawing follows.
    const asked = JSON.stringify([wish, of]);
    if (asked !== last.asked) last = { asked, found: (await session.scanPlan(wish)).plan };
    plan.show({ plan: last.found, stands: chosen.map((side) => ({ side, face })), offset_mm: pose.index_offset_mm,
      legs: wish.legs, probe: wish.set_up.probe, range_mm: wish.set_up.range_mm });
    return true;
  }

  function update() {
    if (!session.open) return;
    if (of !== session.serial) {
      load();
      return;
    }
    if (!sheet) return;
    const [from, to] = session.about.procedure.index_offset_mm;
    say(offsets.input.options[0], text('scan_plan.offsets.all', { from_mm: from, to_mm: to }));
    say(offsets.input.options[1], text('scan_plan.offsets.here', { offset_mm: session.pose.index_offset_mm }));
    set(element, { 'aria-busy': busy ? 'true' : null });
    replan();
  }

  return { element, update };
}

function place({ kind, part, name }) {
  if (part) return part;
  return PLACE[kind] ?? PLACE_OF_NAME.find(([pattern]) => pattern.test(name.replace('sector.', '')))?.[1] ?? 'beams';
}

function sentence(problem) {
  const values = Object.fromEntries(Object.entries(problem).map(([name, value]) => [name,
    typeof value !== 'number' || name.endsWith('_mm') ? value : number(value, Number.isInteger(value) ? 0 : 1)]));
  return text(`problem.${problem.kind}`, values);
}
