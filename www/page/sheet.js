// The answer sheet: calls in a list, one open for editing, the declaration of a clean plate.
import { callForm } from './call-form.js';
import { html, ownId, say, set } from './element.js';
import { button } from './fields.js';
import { sheetFiles } from './sheet-files.js';
import { text } from './text.js';
import { kindOf } from './told.js';

const PHONE = '(max-width: 40rem)';

/** `actions.at()` is the place that is meant. `leave()` takes the focus when a call is closed or removed; `small()` gives the room of an open form on a phone, where there is one. */
export function sheetView(session, actions, leave, small = null) {
  const list = html('ol', { class: 'calls-list' });
  const none = html('p', { class: 'quiet' });
  const undo = button({ label: 'sheet.undo', class: 'small', press: () => session.undo() });
  const redo = button({ label: 'sheet.redo', class: 'small', press: () => session.redo() });
  const clean = html('input', { type: 'checkbox', onchange: () => session.declareClean(clean.checked) });
  const empty = button({ label: 'sheet.add', press: async () => open(await session.addCall(actions.at().blank())) });
  const files = sheetFiles(session);
  const id = ownId('sheet-title');
  const element = html('section', { class: 'card sheet', 'aria-labelledby': id },
    html('header', {}, html('h2', { id }, text('sheet.title')), html('span', { class: 'row' }, undo, redo)),
    none, list,
    html('label', { class: 'check' }, clean, html('span', {}, text('sheet.clean'))),
    html('div', { class: 'row' }, empty), files.element);
  // Rows stay in the document while their words change: whoever types or tabs there keeps the focus.
  const rows = [];
  let editing = null;
  let form = null;

  /** Opens the form of a call. Without `focus` the keys stay with the probe: the ends are looked for next. */
  function open(index, { focus = true } = {}) {
    if (session.handed_in) return;
    form?.element.remove();
    editing = index;
    form = index === null ? null : callForm(session, index, actions.at, {
      notice: actions.notice,
      done: () => { open(null); leave(); },
      remove: () => { open(null); session.removeCall(index); leave(); },
    });
    draw();
    if (!form) return;
    if (small && matchMedia(PHONE).matches) return inDock(focus);
    rows[index].element.append(form.element);
    // Where the side column scrolls by itself the form goes to its top; elsewhere the plate stays in view while its keys are wanted.
    const own = getComputedStyle(element.parentElement).overflowY === 'auto';
    if (own || focus) rows[index].element.scrollIntoView({ block: own ? 'start' : 'nearest' });
    if (focus) form.focus();
  }

  /** On a phone the form stands over the steps of the probe, and plate and section above it. */
  function inDock(focus) {
    small().replaceChildren(form.element);
    if (focus) form.focus();
    // Once all is laid out anew for the smaller room.
    requestAnimationFrame(() => requestAnimationFrame(() => document.getElementById('plan-title').scrollIntoView({ block: 'start', behavior: 'instant' })));
  }
  matchMedia(PHONE).addEventListener('change', () => editing !== null && open(editing, { focus: false }));

  function draw() {
    const calls = session.sheet.calls;
    if (editing !== null && (editing >= calls.length || session.handed_in)) {
      form.element.remove();
      [editing, form] = [null, null];
    }
    while (rows.length > calls.length) rows.pop().element.remove();
    while (rows.length < calls.length) {
      rows.push(callRow(rows.length, (index) => open(editing === index ? null : index)));
      list.append(rows.at(-1).element);
    }
    rows.forEach((row, index) => row.show(calls[index], kindOf(calls[index].kind), editing === index));
    set(none, { hidden: calls.length > 0 });
    clean.checked = session.sheet.no_recordable_indication;
    clean.disabled = Boolean(session.handed_in) || (calls.length > 0 && !clean.checked);
    empty.disabled = Boolean(session.handed_in);
  }

  session.addEventListener('open', () => {
    form?.element.remove();
    [editing, form] = [null, null];
    draw();
  });
  session.addEventListener('sheet', draw);
  // Whoever takes an edit back by a key may not see the sheet.
  for (const way of ['undo', 'redo']) session.addEventListener(way, () => actions.notice(`${text(`sheet.${way}`)}. ${text('hand_in.calls', { count: session.sheet.calls.length })}`));

  function update() {
    say(none, text(actions.at().words.empty));
    form?.update();
    files.update();
    set(undo, { disabled: !session.canUndo });
    set(redo, { disabled: !session.canRedo });
  }

  // A sheet that is made while a session is open has missed its opening.
  if (session.open) draw();

  return {
    element, update, open,
    /** The call that values go into: the open one, or the last; null on an empty sheet. */
    get editing() { return editing ?? (session.sheet.calls.length ? session.sheet.calls.length - 1 : null); },
  };
}

/** One call in the list: a button that opens its form. */
function callRow(index, toggle) {
  const kind = html('span', {});
  const decision = html('span', {});
  const place = html('span', { class: 'call-place' });
  const summary = html('button', { type: 'button', class: 'call-summary', onclick: () => toggle(index) },
    html('span', { class: 'call-number', 'aria-hidden': 'true' }, String(index + 1)),
    html('span', { class: 'call-kind' }, html('span', { class: 'unseen' }, text('sheet.call_n', { n: index + 1 })), kind),
    decision, place);
  const element = html('li', {}, summary);
  return {
    element,
    show(call, words, open) {
      const verdict = call.decision ?? 'unset';
      set(element, { class: open ? 'open' : '' });
      set(summary, { 'aria-expanded': String(open) });
      set(decision, { class: `decision ${verdict}` });
      say(kind, words);
      say(decision, text(`decision.${verdict}`));
      say(place, placeWords(call));
    },
  };
}

/** Where a call is, and how high it is said to be. */
export function placeWords({ start_mm, end_mm, depth_mm, offset_mm, height_mm }) {
  const height = height_mm === null ? '' : ` · ${text('call.height')} ${text('mm', { value_mm: height_mm })}`;
  return text('sheet.place', { from_mm: start_mm, to_mm: end_mm, depth_mm, offset_mm }) + height;
}
