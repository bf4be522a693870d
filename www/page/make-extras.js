// What a joint may have besides: a backing bar under the root, undercut along the toes of the cap. Each change is an edit of the text.
import { html } from './element.js';
import { numberField } from './fields.js';
import { toml } from './flaw-kinds.js';
import { text } from './text.js';

const BAR = 'plate.joint.backing_bar';
const CUTS = 'plate.joint.undercut';
/** The bar as it is first laid under the root, mm; it reaches this far past both edges of the gap at least. */
const [BAR_WIDTH_MM, BAR_THICKNESS_MM, FUSED_MM, PAST_MM] = [25, 6, 0.6, 8];
/** Undercut as it is first made: within what many acceptance rules allow (common practice, no source). */
const NEW_CUT = { depth_mm: 0.3, width_mm: 1.5 };
/** The root bead that a weld gets when its bar is taken away. */
export const NEW_BEAD = '{ width_mm = 6.0, height_mm = 0.8, ripple_mm = 0.05 }';

const set = (path, value) => ({ set: [path, value] });
const remove = (path) => ({ remove: path });
const cut = ({ side, depth_mm, width_mm }) => `{ side = "${side}", depth_mm = ${toml(depth_mm)}, width_mm = ${toml(width_mm)} }`;

/** A checkbox with number fields below it. */
function group(label, values, names, put, use) {
  const input = html('input', { type: 'checkbox', onchange: () => use(input.checked) });
  const fields = names.map((name) => [name, numberField({ label: `${label}.${name}`, unit: 'unit.mm', step: 0.1, put: (value) => put(name, value) })]);
  const element = html('fieldset', { class: 'make-extra make-wide' },
    html('legend', {}, html('label', { class: 'check' }, input, html('span', {}, text(label, values)))),
    html('div', { class: 'make-fields' }, fields.map(([, field]) => field.element)));
  return { element, show(now) {
    input.checked = Boolean(now);
    for (const [name, field] of fields) {
      field.element.hidden = !now;
      if (now) field.show(now[name]);
    }
  } };
}

/** `edit(edits)` changes the text. */
export function jointExtras(edit) {
  let joint = null;
  /** Undercut makes the cap reach farther: where the file's procedure lets the wedge begin before that, it begins later. The yard's
   * own procedure is made for the plate as it is. */
  function clear({ plate, procedure, own_procedure, outline }, width_mm) {
    if (!own_procedure) return [];
    const [near, far] = procedure.index_offset_mm;
    const end = Math.max(...outline.upper_edges_mm.map(Math.abs)) + plate.joint.cap.overlap_mm + width_mm;
    const least = Math.ceil(2 * end) / 2;
    return least > near && least < far ? [set('procedure.index_offset_mm', `[${toml(least)}, ${toml(far)}]`)] : [];
  }
  const cuts = () => joint.undercut ?? [];
  const bar = group('make.joint.backing_bar', {}, ['width_mm', 'thickness_mm', 'fused_mm'],
    (name, value) => edit([set(`${BAR}.${name}`, toml(value))]),
    (on) => edit(on
      ? [remove('plate.joint.root_bead'), remove('plate.joint.misalignment_mm'),
        set(BAR, `{ width_mm = ${toml(Math.max(BAR_WIDTH_MM, joint.root_gap_mm + 2 * PAST_MM))}, thickness_mm = ${toml(BAR_THICKNESS_MM)}, fused_mm = ${toml(FUSED_MM)} }`)]
      : [remove(BAR), set('plate.joint.root_bead', NEW_BEAD)]));
  const toes = ['A', 'B'].map((side) => [side, group('make.joint.undercut', { side }, ['depth_mm', 'width_mm'],
    (name, value) => edit([set(`${CUTS}[${cuts().findIndex((one) => one.side === side)}].${name}`, toml(value))]),
    // Both toes may be ticked before the drawing has caught up: what is there is asked when the turn comes.
    (on) => edit((now) => {
      const left = [...(now.plate.joint.undercut ?? []).filter((one) => one.side !== side), ...(on ? [{ side, ...NEW_CUT }] : [])];
      return [left.length ? set(CUTS, `[${left.map(cut).join(', ')}]`) : remove(CUTS), ...(on ? clear(now, NEW_CUT.width_mm) : [])];
    }))]);
  const element = html('div', { class: 'make-fields make-wide' }, bar.element, toes.map(([, toe]) => toe.element));
  return { element, update({ plate }) {
    joint = plate.joint;
    bar.element.hidden = joint.preparation.startsWith('double');
    bar.show(joint.backing_bar);
    for (const [side, toe] of toes) toe.show(cuts().find((one) => one.side === side));
  } };
}
