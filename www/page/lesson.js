// The lesson at the bench: what to do, what is measured of it, hints, and the way on.
import { ASK } from '../shared/messages.js';
import { html, say, set } from './element.js';
import { button } from './fields.js';
import { keepLesson } from './lesson-store.js';
import { measureWords } from './lesson-measures.js';
import { varyView } from './lesson-vary.js';
import { forHands, text } from './text.js';

/** While no frame comes, the bench is still looked at: calibration and sheet change without one, ms. */
const LOOK_MS = 700;

export function lessonView(session, link) {
  let told = null;
  let hints = 0;
  let looking = false;
  let again = false;
  let cheered = -1;
  // On a phone the strip takes half of the screen: what is read can be folded, what is measured stays.
  const fold = button({ label: 'lesson.fold', class: 'small lesson-fold', press: () => folded(!element.hasAttribute('data-folded')) });
  const title = html('h2', { class: 'lesson-title' });
  const words = html('p', { class: 'lesson-words' });
  const vary = varyView(session, link);
  const ladder = html('ol', { class: 'lesson-hints', 'aria-live': 'polite' });
  const measures = html('ul', { class: 'lesson-measures', 'aria-label': text('lesson.measures') });
  const success = html('p', { class: 'lesson-success', role: 'status' });
  const hint = button({ label: 'lesson.hint', press: () => {
    hints++;
    folded(false);
    show();
  } });
  const next = button({ label: 'lesson.next', class: 'main', press: () => onward() });
  const another = html('a', { class: 'button', href: '#lessons' }, text('lesson.all'));
  const element = html('section', { class: 'lesson', 'aria-label': text('lesson.title'), hidden: true },
    html('div', { class: 'lesson-text' }, html('div', { class: 'lesson-head' }, title, fold), words, vary.element, ladder), html('div', { class: 'lesson-goal' }, measures, success,
      html('div', { class: 'row' }, next, hint, another)));

  function folded(on) {
    set(element, { 'data-folded': on });
    set(fold, { 'aria-expanded': String(!on) });
    say(fold, text(on ? 'lesson.unfold' : 'lesson.fold'));
  }
  folded(false);

  session.addEventListener('open', () => {
    [told, hints, cheered] = [null, 0, -1];
    const { lesson } = session;
    set(element, { hidden: !lesson });
    if (!lesson) return;
    // A lesson that is taken up again finds the bench as it was left.
    if (!lesson.taken_up) settle(session, lesson.begin.slice(0, lesson.step + 1));
    look();
  });
  for (const event of ['frame', 'sheet', 'change']) session.addEventListener(event, look);
  setInterval(() => document.body.dataset.place === 'bench' && look(), LOOK_MS);

  async function look(how = {}) {
    if (!session.lesson || !session.open) return;
    if (looking) return void (again = true);
    looking = true;
    const of = session.serial;
    try {
      const now = await link.ask(ASK.LESSON, { next: Boolean(how.next) });
      if (of === session.serial && session.lesson) take(now);
    } catch {
      // The worker went away meanwhile; it comes back with the session.
    } finally {
      looking = false;
      if (again) {
        again = false;
        look();
      }
    }
  }

  function take(now) {
    const before = told?.step;
    told = now;
    if (before !== told.step) {
      hints = 0;
      folded(false);
      vary.begin(session.lesson.vary[told.step]);
    }
    const { name } = session.lesson;
    if (before !== told.step || (told.done && cheered !== told.step)) {
      // Beside the attempt, too: whoever comes back to it comes back to this step.
      session.source = { ...session.source, step: told.step };
      keepLesson({ id: name, step: told.step, steps: told.steps, done: told.done });
    }
    if (told.met) cheered = told.step;
    show();
  }

  async function onward() {
    if (!told?.met || told.done) return;
    while (looking) await new Promise((go) => setTimeout(go, 10));
    await look({ next: true });
    settle(session, [session.lesson.begin[told.step]]);
    // The button goes away under the finger or the focus: the new text is read instead.
    set(title, { tabindex: -1 });
    title.focus();
  }

  function show() {
    const { lesson } = session;
    if (!lesson || !told) return;
    const step = lesson.words.steps[told.step];
    say(title, text('lesson.step', { title: lesson.words.title, n: told.step + 1, steps: told.steps }));
    say(words, taught(step.text));
    const shown = step.hints.slice(0, hints);
    if (ladder.childElementCount !== shown.length) ladder.replaceChildren(...shown.map((line) => html('li', {}, taught(line))));
    const lines = told.measures.map((measure) => [measure.met || told.met, measureWords(measure)]);
    const told_now = JSON.stringify(lines);
    if (measures.dataset.told !== told_now) {
      measures.dataset.told = told_now;
      measures.replaceChildren(...lines.map(([met, line]) => html('li', { 'data-met': met },
        html('span', { class: 'lesson-tick', 'aria-hidden': 'true' }, met ? '✓' : '○'),
        html('span', { class: 'unseen' }, text(met ? 'lesson.met' : 'lesson.open')), ' ', line)));
    }
    say(success, told.met ? [step.success, told.done ? lesson.words.end : ''].join(' ').trim() : '');
    set(element, { 'data-met': told.met, 'data-step': told.step });
    next.hidden = !told.met || told.done;
    hint.hidden = told.met || hints >= step.hints.length;
    say(hint, text(hints === 0 ? 'lesson.hint' : 'lesson.more_hint'));
    another.hidden = !told.done;
  }

  return { element, update: show };
}

/** Sets the bench as the steps want it, one on top of the other. */
function settle(session, begins) {
  const { face, side, y_mm, index_offset_mm, skew_deg, gain_db, beam_deg, gate } = Object.assign({}, ...begins);
  const named = (values) => Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined));
  const pose = named({ face, side, y_mm, index_offset_mm, skew_deg });
  if (Object.keys(pose).length) session.move(pose);
  const beam = beam_deg === undefined ? undefined : nearest(session.about.beams, beam_deg);
  session.adjust(named({ gain_db, beam, gate }));
}

const nearest = (beams, angle_deg) => beams.reduce((best, beam, i) =>
  (Math.abs(beam.angle_deg - angle_deg) < Math.abs(beams[best].angle_deg - angle_deg) ? i : best), 0);

/** Words of a lesson as they suit the hands there are. {E} stands for what key and fingers do for it. */
const taught = (words) => forHands(words.replace(/(^|\. )?\{(\w+)\}/g, (whole, begins, key) => {
  const said = text(`lesson.key.${key}`);
  return begins === undefined ? said : begins + said[0].toUpperCase() + said.slice(1);
}));
