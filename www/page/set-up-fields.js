// The fields of the set-up, part by part; each part has room for what is wrong with it.
import { html, say } from './element.js';
import { numberField, selectField } from './fields.js';
import { sameProbe, scanFields, turn } from './set-up-scan.js';
import { number, text } from './text.js';

const RECTIFICATIONS = ['full-wave', 'positive-half', 'negative-half', 'unrectified'];
const OWN = 'own';

/** `put(alter)` gets a function that alters the draft in place. */
export function setUpFields(put) {
  const whole = (value) => Math.max(0, Math.round(value));
  const field = (label, unit, set, more = {}) => numberField({ label, unit, put: (value) => put((draft) => set(draft, value)), ...more });
  const model = selectField({ label: 'set_up.model', options: [], put: (name) => take(name, null) });
  const wedge = selectField({ label: 'set_up.wedge', options: [], put: (name) => take(model.input.value, name) });
  const facts = html('p', { class: 'quiet' });
  const angle = field('set_up.wedge_angle', 'unit.deg', ({ probe }, value) => { probe.wedge_angle_deg = value; }, { step: 0.1 });
  const height = field('set_up.first_height', 'unit.mm', ({ probe }, value) => { probe.first_element_height_mm = value; }, { step: 0.1 });
  const scan = scanFields(put, field, () => sheet);
  const focusKind = selectField({ label: 'set_up.focus.kind', options: ['none', 'path', 'depth'].map((kind) => [kind, text(`set_up.focus.${kind}`)]),
    put: (kind) => put(({ sector }) => refocus(sector, kind)) });
  const path = field('set_up.focus.path.value', 'unit.mm', ({ sector }, value) => { sector.focus_path_mm = value; }, { step: 1 });
  const depth = field('set_up.focus.depth.value', 'unit.mm', ({ sector }, value) => { sector.focus_depth_mm = value; }, { step: 1 });
  const depthWords = html('p', { class: 'quiet' }, text('set_up.focus.depth.words'));
  const range = field('set_up.range_mm', 'unit.mm', (draft, value) => { draft.range_mm = value; }, { step: 5 });
  const rectification = selectField({ label: 'set_up.rectification', options: RECTIFICATIONS.map((kind) => [kind, text(`set_up.rectification.${kind}`)]),
    put: (kind) => put(({ receiver }) => { receiver.rectification = kind; }) });
  const smooth = html('input', { type: 'checkbox', onchange: () => put(({ receiver }) => { receiver.smoothing = smooth.checked; }) });
  const averages = field('set_up.averages', null, ({ receiver }, value) => { receiver.averages = whole(value); }, { step: 1, decimals: 0 });

  const parts = {
    probe: part('set_up.probe', html('div', { class: 'pair-even' }, model.element, wedge.element), facts,
      html('div', { class: 'trio' }, angle.element, height.element), html('p', { class: 'quiet' }, text('set_up.worn'))),
    beams: part('set_up.beams', ...scan.content),
    focus: part('set_up.focus', html('div', { class: 'pair-even' }, focusKind.element, path.element, depth.element), depthWords),
    range: part('set_up.range', range.element),
    receiver: part('set_up.receiver', html('div', { class: 'pair-even' }, rectification.element, averages.element),
      html('label', { class: 'check' }, smooth, html('span', {}, text('set_up.smoothing')))),
  };
  const element = html('div', { class: 'set-up-parts' }, Object.values(parts).map((one) => one.element));
  let sheet = null;

  function part(label, ...content) {
    const problem = html('p', { class: 'set-up-problem', role: 'alert' });
    const fixed = html('p', { class: 'quiet', hidden: true }, text('set_up.fixed'));
    const set = html('fieldset', { class: 'set-up-part' }, html('legend', {}, text(label)), problem, fixed, content);
    return { element: set, problem, fixed };
  }

  /** A probe of the store on one of its wedges, with the aperture it is usually used with. */
  function take(name, wedgeName) {
    const choices = sheet.store.filter((choice) => choice.probe.name === name);
    const choice = choices.find((one) => one.wedge === wedgeName) ?? choices[0];
    put((draft) => {
      if (!choice) {
        draft.probe = structuredClone(sheet.prescribed.probe);
        draft.sector = structuredClone(sheet.prescribed.sector);
        return;
      }
      const another = draft.probe.name !== choice.probe.name;
      draft.probe = structuredClone(choice.probe);
      const { first_element, active_elements } = choice;
      if (another) Object.assign(draft.sector, { first_element, active_elements });
      // The way along the array is another one.
      if (draft.sector.linear) turn(draft, 'linear', sheet);
    });
  }

  /** Where the beam in the middle is focused stays about the same. */
  function refocus(sector, kind) {
    const cosine = Math.cos(((sector.from_deg + sector.to_deg) / 2) * (Math.PI / 180));
    const path_mm = sector.focus_path_mm ?? (sector.focus_depth_mm ? sector.focus_depth_mm / cosine : 50);
    delete sector.focus_path_mm;
    delete sector.focus_depth_mm;
    if (kind === 'path') sector.focus_path_mm = Math.round(path_mm);
    if (kind === 'depth') sector.focus_depth_mm = Math.round(path_mm * cosine);
  }

  /** The store and what the procedure leaves open. */
  function fill(next) {
    sheet = next;
    const models = [...new Set(sheet.store.map((choice) => choice.probe.name))].map((name) => [name, name]);
    const own = sheet.prescribed.probe.name;
    if (!models.some(([name]) => name === own)) models.unshift([OWN, text('set_up.model.own', { name: own })]);
    options(model, models);
    for (const [name, { element: fieldset, fixed }] of Object.entries(parts)) {
      const open = sheet.operator_sets.includes(name);
      fieldset.disabled = !open;
      fixed.hidden = open;
    }
  }

  function show({ probe, sector, range_mm, receiver }) {
    const choices = sheet.store.filter((choice) => choice.probe.name === probe.name);
    model.show(choices.length ? probe.name : OWN);
    const found = choices.find((choice) => sameProbe(choice.probe, probe));
    options(wedge, [...choices.map((choice) => [choice.wedge, choice.wedge]), ...(found ? [] : [[OWN, text('set_up.wedge.own')]])]);
    wedge.show(found?.wedge ?? OWN);
    say(facts, text('set_up.probe.facts', { elements: probe.elements, pitch_mm: probe.pitch_mm, frequency: number(probe.frequency_mhz, 2),
      wavelength_mm: probe.wedge_material.longitudinal_mm_per_us / probe.frequency_mhz }));
    angle.show(probe.wedge_angle_deg);
    height.show(probe.first_element_height_mm);
    scan.show(sector);
    const kind = sector.focus_path_mm ? 'path' : sector.focus_depth_mm ? 'depth' : 'none';
    focusKind.show(kind);
    path.element.hidden = kind !== 'path';
    depth.element.hidden = depthWords.hidden = kind !== 'depth';
    path.show(sector.focus_path_mm ?? null);
    depth.show(sector.focus_depth_mm ?? null);
    range.show(range_mm);
    rectification.show(receiver.rectification);
    smooth.checked = receiver.smoothing;
    smooth.disabled = receiver.rectification === 'unrectified';
    averages.show(receiver.averages);
  }

  return { element, fill, show,
    problems: (told) => Object.entries(told).forEach(([name, lines]) => say(parts[name].problem, lines.join(' '))) };
}

function options({ input }, list) {
  const before = input.value;
  input.replaceChildren(...list.map(([value, words]) => html('option', { value }, words)));
  input.value = before;
}
