// The lessons: what each teaches, what is done, where to go on.
import { EXAM } from '../shared/messages.js';
import { html } from './element.js';
import { button } from './fields.js';
import { lessonRecords } from './lesson-store.js';
import { text } from './text.js';

/** `go(address)` opens an address. */
export function lessonsView(link, { go }) {
  const list = html('ol', { class: 'lessons' });
  const next = html('div', { class: 'row quick' });
  const element = html('div', { class: 'desk lessons-place' }, html('h1', { tabindex: -1 }, text('lessons.title')),
    html('p', { class: 'lead' }, text('lessons.lead')), next, list, html('p', { class: 'caution' }, text('caution.long')));
  let lessons = null;
  let run = 0;

  async function update() {
    const mine = ++run;
    const [told, records] = await Promise.all([
      lessons ?? link.exam(EXAM.LESSONS, { language: document.documentElement.lang }), lessonRecords()]);
    if (mine !== run) return;
    lessons = told;
    const open = lessons.find(({ name }) => !records.get(name)?.done);
    next.replaceChildren(open ? button({ label: begun(records.get(open.name)) ? 'lessons.go_on' : 'lessons.next', class: 'main',
      values: { title: open.title }, press: () => go(lessonAddress(open.name, records.get(open.name))) }) : html('p', {}, text('lessons.all_done')));
    list.replaceChildren(...lessons.map((lesson, index) => item(lesson, index, records.get(lesson.name))));
  }

  function item({ name, title, teaches, steps }, index, record) {
    const state = record?.done ? text('lessons.done') : begun(record) ? text('lessons.at', { n: record.step + 1, steps }) : text('lessons.steps', { steps });
    return html('li', { class: 'card lesson-card', 'data-done': Boolean(record?.done) },
      html('h2', {}, text('lessons.item', { n: index + 1, title })), html('p', {}, teaches),
      html('p', { class: 'lesson-state' }, state),
      button({ label: record?.done ? 'lessons.again' : begun(record) ? 'lessons.go_on' : 'lessons.begin', values: { title },
        face: text(record?.done ? 'lessons.again.face' : begun(record) ? 'lessons.go_on.face' : 'lessons.begin.face'),
        press: () => go(lessonAddress(name, record)) }));
  }

  return { element, update };
}

const begun = (record) => Boolean(record && !record.done && record.step > 0);

/** Where a lesson is opened: at the step where it was left, at the first one when it was done. */
export function lessonAddress(lesson, record) {
  return `#bench?${new URLSearchParams({ lesson, step: String(begun(record) ? record.step : 0) })}`;
}
