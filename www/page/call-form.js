// The form of one call. It stays open while the probe moves, so that ends can be taken from the tape.
import { html } from './element.js';
import { button, numberField, selectField } from './fields.js';
import { shotView } from './shot-view.js';
import { text } from './text.js';
import { kindOf } from './told.js';

/** `at` says where calls get their places from. */
export function callForm(session, index, at, { done, remove }) {
  const call = () => session.sheet.calls[index];
  const put = (part, set) => session.editCall(index, { ...call(), ...part }, set);
  const kind = selectField({ label: 'call.kind',
    options: session.about.kinds.map(({ value }) => [value, kindOf(value)]), put: (value) => put({ kind: value || null }) });
  kind.input.prepend(html('option', { value: '' }, text('kind.unset')));
  const decision = selectField({ label: 'call.decision',
    options: ['reject', 'accept'].map((value) => [value, text(`decision.${value}`)]), put: (value) => put({ decision: value || null }) });
  decision.input.prepend(html('option', { value: '' }, text('decision.unset')));
  const mm = (label, name) => numberField({ label, unit: 'unit.mm', step: 0.1, optional: true, put: (value) => put({ [name]: value }) });
  const start = mm('call.start', 'start_mm');
  const end = mm('call.end', 'end_mm');
  const offset = mm('call.offset', 'offset_mm');
  const depth = mm('call.depth', 'depth_mm');
  const height = mm('call.height', 'height_mm');
  const remark = html('input', { type: 'text', id: `remark-${index}`, maxlength: 300, onchange: () => put({ remark: remark.value }) });
  // Whichever end passes the other takes it along: a call never ends before it starts.
  const here = () => at.y_mm();
  const startHere = () => put({ start_mm: here(), end_mm: Math.max(call().end_mm ?? here(), here()) }, 'start_mm');
  const endHere = () => put({ end_mm: here(), start_mm: Math.min(call().start_mm ?? here(), here()) }, 'end_mm');
  const shot = html('div', {});
  let made_from = null;
  const element = html('div', { class: 'call-form', role: 'group', 'aria-label': text('call.form', { n: index + 1 }) },
    kind.element, decision.element,
    html('div', { class: 'pair' }, start.element, button({ label: 'call.start_here', press: startHere })),
    html('div', { class: 'pair' }, end.element, button({ label: 'call.end_here', press: endHere })),
    html('div', { class: 'trio' }, offset.element, depth.element, height.element),
    html('div', { class: 'field' }, html('label', { for: `remark-${index}` }, text('call.remark')), remark),
    shot,
    html('div', { class: 'row' }, button({ label: 'call.done', press: done }),
      button({ label: at.words.peak, press: fromHere }),
      button({ label: 'call.remove', class: 'danger', press: remove })));

  async function fromHere() {
    const peak = await at.peak();
    if (peak) await put(peak);
  }

  function update() {
    const now = call();
    if (!now) return;
    if (JSON.stringify(now.snapshot) !== JSON.stringify(made_from)) {
      made_from = now.snapshot;
      shot.replaceChildren(shotView(session, index) ?? '');
    }
    if (document.activeElement !== kind.input) kind.show(now.kind ?? '');
    if (document.activeElement !== decision.input) decision.show(now.decision ?? '');
    start.show(now.start_mm);
    end.show(now.end_mm);
    offset.show(now.offset_mm);
    depth.show(now.depth_mm);
    height.show(now.height_mm);
    if (document.activeElement !== remark && remark.value !== now.remark) remark.value = now.remark ?? '';
  }
  update();
  return { element, update, focus: () => kind.input.focus({ preventScroll: true }) };
}
