// A recorded exam: the file of the exam, its views and sizing, the answer sheet. Nothing here moves a probe.
import { EXAM } from '../shared/messages.js';
import { setEnd } from './call-ends.js';
import { show } from './dialog.js';
import { html, say } from './element.js';
import { button } from './fields.js';
import { handIn } from './hand-in.js';
import { atCursor, callAt } from './meant.js';
import { showProcedure } from './procedure.js';
import { recordedView } from './recorded-view.js';
import { REFUSED } from './link.js';
import { openField } from './recording-file.js';
import { sheetView } from './sheet.js';
import { sizingView } from './sizing-panel.js';
import { text } from './text.js';
import { toast } from './toast.js';

/** The source of an attempt at the exam in a file, or null where it was not begun; refused in words where the file is no exam. */
async function examSource(link, file) {
  const told = await link.exam(EXAM.RECORDED, { name: file.name, file });
  if (!told) throw Object.assign(new Error(file.name), { name: REFUSED, reason: 'exam.recorded.none' });
  const { title, time_minutes: minutes } = told.terms;
  const begin = await show({ title: text('seal.title', { title }), content: [html('ul', {}, [text('seal.time', { minutes }), text('seal.no_help'),
    text('exam.recorded.marked')].map((words) => html('li', {}, words)))],
    buttons: [{ label: 'seal.back', value: false }, { label: 'seal.begin', value: true, class: 'main' }] });
  return begin ? { kind: 'recorded', name: file.name, exam: told.exam } : null;
}

/** What opens the exam in a file: `fresh(source)` makes an attempt, `open(attempt)` opens it, `enter()` goes to its place. */
export function examOpening({ link, session, recording, fresh, open, enter }) {
  return async (file) => {
    const source = await examSource(link, file);
    if (!source) return;
    const attempt = fresh(source);
    await open(attempt);
    if (session.id === attempt.id) await recording.load(file).then(enter);
  };
}

/** `open(file)` opens an exam, `handedIn()` follows when it was handed in. */
export function recordedExamView(session, recording, { open, handedIn }) {
  const { element: notes, notice } = toast();
  const chooser = html('section', { class: 'card desk-ask', 'aria-labelledby': 'exam-choose' },
    html('h2', { id: 'exam-choose' }, text('exam.recorded.title')), html('p', {}, text('exam.recorded.words')),
    openField('exam-file', { label: 'exam.recorded.choose', open, notice }));
  const lost = html('section', { class: 'card desk-ask', 'aria-labelledby': 'exam-lost' }, html('h2', { id: 'exam-lost' }, text('exam.recorded.lost')),
    html('p', {}, text('exam.recorded.lost.words')),
    openField('exam-again', { label: 'exam.recorded.again', open: (file) => recording.load(file), notice }));
  const start = html('div', { class: 'desk' }, chooser, lost, html('p', { class: 'caution' }, text('caution.long')));
  const element = html('div', { class: 'recorded-exam' }, html('h1', { class: 'unseen', tabindex: -1 }, text('exam.recorded.title')), start, notes);
  // Made when somebody sits an exam: at the bench all of it is there once already.
  let work = null;

  function update() {
    const sitting = session.open && session.about.recorded;
    const working = Boolean(sitting && recording.any);
    if (working && !work) {
      work = workplace(session, recording, notice);
      start.after(work.element);
    }
    if (work) work.element.hidden = !working;
    start.hidden = working;
    chooser.hidden = Boolean(sitting);
    lost.hidden = !sitting;
    if (working) work.update();
  }

  const later = () => !element.hidden && update();
  recording.addEventListener('passes', later);
  session.addEventListener('sheet', later);
  return { element, update, actions: { handIn: () => handIn(session, { notice, handedIn }) } };
}

/** Views, sizing and answer sheet of an exam that is open. */
function workplace(session, recording, notice) {
  const views = recordedView(recording, session, { call, end: (name) => setEnd(session, name, place.y_mm(), notice), tip: (i) => sizing.tip(i), tell: notice });
  const sheet = sheetView(session, { notice, at: () => place }, views.focus);
  const sizing = sizingView(session, recording, () => sheet.editing);
  const place = atCursor(recording, sizing);
  const advice = html('p', { class: 'coach-words', role: 'status' });
  const coach = html('section', { class: 'coach', 'aria-label': text('coach.title') }, html('strong', {}, text('coach.title')), advice,
    button({ label: 'coach.procedure', class: 'quiet-button', press: () => showProcedure(session) }));
  const element = html('div', { class: 'bench exam-work' }, coach,
    html('div', { class: 'bench-plate' }, views.element), html('div', { class: 'bench-side exam-side' }, sheet.element, sizing.element));

  async function call() {
    const index = await callAt(session, place, notice);
    if (index !== null) sheet.open(index);
  }

  new ResizeObserver(() => element.checkVisibility() && views.resized()).observe(element);
  return { element, update() {
    say(advice, text(session.handed_in ? 'coach.handed_in' : session.sheet.calls.length ? 'exam.recorded.next' : 'exam.recorded.first'));
    views.update();
    sheet.update();
    sizing.update();
  } };
}
