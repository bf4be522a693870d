// The fields of the plate maker: joint and chosen flaw. Each change is an edit of the text.
import { html, say } from './element.js';
import { numberField, selectField } from './fields.js';
import { KINDS, toml } from './flaw-kinds.js';
import { NEW_BEAD, jointExtras } from './make-extras.js';
import { text } from './text.js';

const PREPARATIONS = ['single-v', 'double-v', 'single-bevel', 'double-bevel', 'single-j', 'square'];

/** Fields of the joint: path in the file and what they are of. */
const NUMBERS = [['plate.thickness_mm', 'mm'], ['plate.length_mm', 'mm'], ['plate.width_mm', 'mm'], ['plate.joint.groove_angle_deg', 'deg'],
  ['plate.joint.root_face_mm', 'mm'], ['plate.joint.root_gap_mm', 'mm'], ['plate.joint.misalignment_mm', 'mm'],
  ['plate.joint.cap.overlap_mm', 'mm'], ['plate.joint.cap.height_mm', 'mm'], ['plate.joint.root_bead.width_mm', 'mm'], ['plate.joint.root_bead.height_mm', 'mm']];

const at = (thing, path) => path.split('.').reduce((inner, key) => inner?.[key], thing);
const set = (path, value) => ({ set: [path, value] });
const remove = (path) => ({ remove: path });

/** What else changes with the preparation, so that the joint stays one. */
function prepared(preparation, { joint }) {
  const square = preparation === 'square';
  const double = preparation.startsWith('double');
  const one_sided = ['single-bevel', 'double-bevel', 'single-j'].includes(preparation);
  const angle = { 'single-v': 60, 'double-v': 60, 'single-bevel': 45, 'double-bevel': 45, 'single-j': 15, square: 0 }[preparation];
  const bead = joint.root_bead || joint.backing_bar || double ? [] : [set('plate.joint.root_bead', NEW_BEAD)];
  return [set('plate.joint.preparation', `"${preparation}"`), set('plate.joint.groove_angle_deg', toml(angle)),
    set('plate.joint.root_face_mm', toml(square ? 0 : joint.root_face_mm || 2)),
    ...(one_sided ? [] : [remove('plate.joint.prepared_side')]), ...(preparation === 'single-j' ? [] : [remove('plate.joint.j_radius_mm')]),
    ...(double ? [remove('plate.joint.root_bead'), remove('plate.joint.backing_bar')] : [remove('plate.joint.upper_share')]), ...bead];
}

/** `edit(edits)` changes the text. */
export function jointFields(edit) {
  let laid = null;
  const title = html('input', { id: 'make-title', type: 'text', maxlength: 80, autocomplete: 'off',
    onchange: () => edit([set('plate.title', JSON.stringify(title.value))]) });
  const preparation = selectField({ label: 'start.preparation', options: PREPARATIONS.map((p) => [p, text(`preparation.${p}`)]),
    put: (value) => edit(prepared(value, laid.plate)) });
  const numbers = NUMBERS.map(([path, unit]) => [path, numberField({ label: `make.${path.replace('plate.', '')}`, unit: `unit.${unit}`, step: unit === 'mm' ? 0.5 : 1,
    put: (value) => edit([set(path, toml(value))]) })]);
  const extras = jointExtras(edit);
  const element = html('div', { class: 'make-fields' }, html('div', { class: 'field make-wide' }, html('label', { for: 'make-title' }, text('make.title_of')), title),
    preparation.element, ...numbers.map(([, field]) => field.element), extras.element);
  return { element, update(now) {
    laid = now;
    const { plate } = laid;
    if (document.activeElement !== title) title.value = plate.title;
    preparation.show(plate.joint.preparation);
    extras.update(laid);
    for (const [path, field] of numbers) {
      const value = at({ plate }, path) ?? (path.endsWith('misalignment_mm') ? 0 : null);
      field.element.hidden = value === null || (plate.joint.preparation === 'square' && /groove_angle|root_face/.test(path));
      if (value !== null) field.show(value);
    }
  } };
}

/** Where a flaw's place keeps its depth and offset in the file. */
export function placeKeys(index, { place }) {
  const [where] = Object.keys(place);
  const path = `plate.flaw[${index}].place.${where}`;
  return { path, where, inner: place[where], depth: where === 'weld' || where === 'bevel' ? `${path}.depth_mm` : null, offset: where === 'weld' ? `${path}.offset_mm` : null };
}

const ROUND = ['single-pore'];

/** Fields of the chosen flaw. */
export function flawFields(edit) {
  let [index, flaw] = [0, null];
  const path = (key) => `plate.flaw[${index}].${key}`;
  const field = (key, label, put, decimals = 1, unit = 'unit.mm', step = unit === 'unit.mm' ? 0.5 : 1) => ({ key, ...numberField({ label, unit, step, decimals, put: put ?? ((value) => edit([set(path(key), toml(value))])) }) });
  const size = (value) => edit([set(path('height_mm'), toml(value)), ...(ROUND.includes(flaw.kind) ? [set(path('length_mm'), toml(value))] : [])]);
  const fields = [field('start_mm', 'make.start_mm'), field('length_mm', 'flaw.length_mm'), field('height_mm', 'flaw.height_mm', size), field('width_mm', 'flaw.width_mm'),
    field('tilt_deg', 'flaw.tilt_deg', null, 1, 'unit.deg'), field('branches', 'flaw.branches', (value) => edit([set(path('branches'), String(Math.round(value)))]), 0, null),
    field('roughness_ratio', 'flaw.roughness_ratio', null, 1, null, 0.5),
    field('depth_mm', 'flaw.depth_mm', (value) => edit([set(placeKeys(index, flaw).depth, toml(value))])),
    field('offset_mm', 'flaw.offset_mm', (value) => edit([set(placeKeys(index, flaw).offset, toml(value))]))];
  const side = selectField({ label: 'flaw.side', options: ['A', 'B'].map((s) => [s, text('side.name', { side: s })]), put: (value) => {
    const { path: place, where, inner } = placeKeys(index, flaw);
    edit([where === 'root' ? set(`${place}.at`, `"${inner.at.replace(/[ab]$/, value.toLowerCase())}"`) : set(`${place}.side`, `"${value}"`)]);
  } });
  const mandatory = html('input', { type: 'checkbox', onchange: () => edit([set(path('mandatory'), String(mandatory.checked))]) });
  const none = html('p', { class: 'quiet make-wide' });
  const element = html('div', { class: 'make-fields' }, none, side.element, fields.map((one) => one.element),
    html('label', { class: 'check make-wide' }, mandatory, html('span', {}, text('make.mandatory'))));
  return { element, update(laid, chosen) {
    flaw = laid.plate.flaw?.[chosen] ?? null;
    index = chosen;
    say(none, flaw ? '' : text('make.none'));
    none.hidden = Boolean(flaw);
    mandatory.parentNode.hidden = !flaw;
    side.element.hidden = !flaw;
    if (!flaw) return fields.forEach((one) => { one.element.hidden = true; });
    const { where, inner } = placeKeys(index, flaw);
    const own = inner.side ?? (/[ab]$/.test(inner.at ?? '') && inner.at !== 'centre' ? inner.at.at(-1).toUpperCase() : null);
    side.element.hidden = !own;
    if (own) side.show(own);
    mandatory.checked = flaw.mandatory;
    for (const one of fields) {
      const value = { depth_mm: inner.depth_mm, offset_mm: inner.offset_mm, tilt_deg: flaw.tilt_deg ?? 0, branches: flaw.branches ?? 0, roughness_ratio: flaw.roughness_ratio ?? 1, width_mm: flaw.width_mm ?? flaw.height_mm }[one.key] ?? flaw[one.key];
      const has = one.key === 'start_mm' || (one.key === 'length_mm' && !ROUND.includes(flaw.kind)) || (one.key === 'depth_mm' && where === 'bevel') || (one.key !== 'depth_mm' && one.key !== 'offset_mm' && KINDS[flaw.kind].includes(one.key.replace(/_(mm|deg|ratio)$/, '')))
        || ((one.key === 'depth_mm' || one.key === 'offset_mm') && where === 'weld');
      one.element.hidden = !has;
      if (has) one.show(value);
    }
  } };
}
