// For instructors: a plate recorded as an exam, in a file that tells nothing of its map.
import { EXAM, TO_PAGE } from '../shared/messages.js';
import { html, ownId, say } from './element.js';
import { button, numberField, selectField } from './fields.js';
import { refusal } from './refusal.js';
import { save } from './save.js';
import { text } from './text.js';

/** How many index offsets can be recorded from each side. */
const ROWS = [1, 2, 3, 5];

/** `plate` is a plate file's name and bytes, looked at when it is recorded. */
export function examMaker(link, plate) {
  const [own_title, own_words, own_head] = ['exam-title', 'exam-make-words', 'exam-make'].map(ownId);
  const wish = { rows: 3, step_mm: 1 };
  const title = html('input', { type: 'text', id: own_title, maxlength: 80, autocomplete: 'off' });
  const rows = selectField({ label: 'exam.make.rows', options: ROWS.map((n) => [String(n), text('exam.make.rows.n', { count: n })]), put: (value) => { wish.rows = Number(value); } });
  const step = numberField({ label: 'record.step', unit: 'unit.mm', step: 0.5, min: 0.5, max: 5, put: (mm) => {
    wish.step_mm = Math.min(5, Math.max(0.5, mm));
    step.show(wish.step_mm);
  } });
  rows.show(String(wish.rows));
  step.show(wish.step_mm);
  const bar = html('progress', { max: 1, value: 0, 'aria-labelledby': own_words });
  const words = html('p', { id: own_words, role: 'status' });
  const progress = html('div', { class: 'desk-progress', hidden: true }, bar, button({ label: 'desk.stop', press: () => link.exam(EXAM.STOP) }));
  const go = button({ label: 'exam.make.go', press: make });
  link.addEventListener(TO_PAGE.MAKING, ({ detail }) => { bar.value = detail.share; });

  async function make() {
    const exam = title.value.trim();
    if (!exam) {
      say(words, text('exam.make.no_name'));
      return title.focus();
    }
    go.disabled = true;
    progress.hidden = false;
    bar.value = 0;
    say(words, text('exam.make.under_way'));
    try {
      const file = await link.exam(EXAM.MAKE, { ...plate, exam, ...wish });
      if (file) save(`${exam.replace(/[^\p{L}\p{N}-]+/gu, '-')}-exam.npz`, file, 'application/zip');
      say(words, text(file ? 'exam.make.done' : 'exam.make.stopped'));
    } catch (error) {
      say(words, error.reason ? text(error.reason) : refusal(error.message));
    } finally {
      progress.hidden = true;
      go.disabled = false;
    }
  }

  return html('section', { class: 'card desk-ask', 'aria-labelledby': own_head }, html('h2', { id: own_head }, text('exam.make.title')),
    html('p', { class: 'quiet' }, text('exam.make.words')),
    html('div', { class: 'trio' }, html('div', { class: 'field' }, html('label', { for: own_title }, text('exam.make.name')), title), rows.element, step.element),
    html('div', { class: 'row' }, go), words, progress);
}
