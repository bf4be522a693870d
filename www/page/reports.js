// Reports to print, for the three people who read an inspection.
import { html } from './element.js';
import { button } from './fields.js';
import { save } from './save.js';
import { text } from './text.js';

/** Who reads them; under a seal the examiner's stays with the instructor. */
const READERS = ['examiner', 'welder', 'engineer'];

/** A button for each reader; `report(reader)` resolves with the report's text, `name` begins its file's name. */
export function reportButtons({ name, report, sealed = false }) {
  return html('div', { class: 'row' }, READERS.filter((reader) => !sealed || reader !== 'examiner').map((reader) =>
    button({ label: `report.${reader}`, press: async () => save(`${name()}-${reader}.html`, await report(reader), 'text/html') })));
}

/** The same with its heading and words. */
export function reportsView(wish) {
  return html('section', { class: 'card no-print', 'aria-labelledby': 'reports-title' },
    html('h2', { id: 'reports-title' }, text('report.title')), html('p', { class: 'quiet' }, text('report.words')),
    reportButtons(wish), html('p', { class: 'quiet' }, text(wish.sealed ? 'report.sealed' : 'report.who')));
}
