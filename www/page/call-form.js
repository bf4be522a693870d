// The form of one call. It stays open while the probe moves, so that ends can be taken from the tape.
import { endAt, inOrder } from './call-ends.js';
import { html, say } from './element.js';
import { button, numberField, selectField } from './fields.js';
import { shotView } from './shot-view.js';
import { text } from './text.js';
import { kindOf } from './told.js';

/** `at()` is the place that is meant. */
export function callForm(session, index, at, { done, remove, notice }) {
  const call = () => session.sheet.calls[index];
  let written = null;
  const put = (part) => { written = session.editCall(index, { ...call(), ...part }); };
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
  const here = (label, name) => button({ label, press: () => endAt(session, index, name, at().y_mm()) });
  const ends = [html('div', { class: 'pair' }, start.element, here('call.start_here', 'start_mm')),
    html('div', { class: 'pair' }, end.element, here('call.end_here', 'end_mm'))];
  // A field that is entered loses the focus for a moment.
  for (const one of ends) one.addEventListener('focusout', () => setTimeout(async () => {
    await written;
    if (!ends.some((pair) => pair.contains(document.activeElement))) inOrder(session, index, notice);
  }));
  const peak = button({ label: 'call.from_gate', press: fromHere });
  const shot = html('div', {});
  let made_from = null;
  const element = html('div', { class: 'call-form', role: 'group', 'aria-label': text('call.form', { n: index + 1 }) },
    kind.element, decision.element,
    ends,
    html('div', { class: 'trio' }, offset.element, depth.element, height.element),
    html('div', { class: 'field' }, html('label', { for: `remark-${index}` }, text('call.remark')), remark),
    shot,
    html('div', { class: 'row' }, button({ label: 'call.done', press: done }), peak,
      button({ label: 'call.remove', class: 'danger', press: remove })));

  async function fromHere() {
    const part = await at().peak();
    if (part) put(part);
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
    say(peak, text(at().words.peak));
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
