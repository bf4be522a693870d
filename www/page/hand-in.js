// Handing in: what is about to be handed in, who sits, and the last chance to go back.
import { show } from './dialog.js';
import { html } from './element.js';
import { sentence } from './said.js';
import { clock, text } from './text.js';

/** Asks and hands in; `handedIn()` follows when it is done. */
export async function handIn(session, { notice, handedIn }) {
  const name = sitterField(session);
  const doubts = await session.doubts();
  // The likelier of the two is the main one.
  const [back, on] = complete(session, doubts) ? ['', 'main'] : ['main', ''];
  const yes = await show({ title: text('hand_in.title'), content: [...summary(session, doubts), name.element],
    buttons: [{ label: 'hand_in.back', value: false, class: back }, { label: 'hand_in.yes', value: true, class: on }] });
  if (!yes) return;
  notice(text('hand_in.marking'));
  await session.handIn();
  handedIn();
}

/** Whether the sheet says something, and nothing doubtful. */
const complete = ({ sheet }, doubts) => doubts.length === 0 && (sheet.calls.length > 0 || sheet.no_recordable_indication);

/** Keeps the button in the head calm until the sheet is complete. */
export function calmUntilComplete(button, session) {
  async function show() {
    const done = session.open && complete(session, await session.doubts());
    button.classList.toggle('main', done);
    button.classList.toggle('top-button', !done);
  }
  for (const event of ['open', 'sheet']) session.addEventListener(event, () => show().catch(() => {}));
}

function summary({ sheet, examined, about, left_ms }, doubts) {
  const words = [sheet.calls.length ? text('hand_in.calls', { count: sheet.calls.length })
    : text(sheet.no_recordable_indication ? 'hand_in.clean' : 'hand_in.nothing')];
  // A recorded exam was scanned by somebody else.
  for (const side of about.recorded ? [] : about.procedure.sides) words.push(text('hand_in.scanned', { side, percent: examined.percent(side) }));
  words.push(...doubts.map(sentence));
  words.push(left_ms > 0 ? text('hand_in.time', { time: clock(left_ms) }) : text('hand_in.over', { time: clock(-left_ms) }));
  return [html('ul', {}, words.map((line) => html('li', {}, line))), html('p', {}, text(about.exam && !about.exam.debrief ? 'hand_in.final.sealed' : 'hand_in.final'))];
}

/** Who sits; it goes into the hand-in and nowhere else. */
function sitterField(session) {
  const input = html('input', { type: 'text', id: 'sitter', maxlength: 100, autocomplete: 'name', oninput: () => { session.sitter = input.value; } });
  input.value = session.sitter ?? '';
  return { element: html('div', { class: 'field' }, html('label', { for: 'sitter' }, text('hand_in.name')), input) };
}
