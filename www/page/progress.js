// What was learned: the history over the plates kept in this browser, in counts with their bounds.
import { EXAM } from '../shared/messages.js';
import { html } from './element.js';
import { button } from './fields.js';
import { forgetRecord } from './forget.js';
import { drawCurve } from './progress-curve.js';
import { mark } from './said.js';
import { save } from './save.js';
import { all } from './store.js';
import { date } from './language.js';
import { number, text } from './text.js';
import { kindNamed, titleNamed } from './told.js';

const bounds = ([low, high], decimals = 0) => text('progress.bounds', { low: number(low, decimals), high: number(high, decimals) });

/** `go(address)` opens an address, `resume(record)` an attempt. */
export function progressView(link, { go, resume }) {
  const result = html('div', { class: 'desk-result' });
  const element = html('div', { class: 'desk progress-place' }, html('h1', { tabindex: -1 }, text('progress.title')),
    html('p', { class: 'lead' }, text('progress.lead')), result, html('p', { class: 'caution' }, text('caution.long')));
  let run = 0;

  async function update() {
    const mine = ++run;
    const records = (await all()).filter((record) => record.learned).sort((a, b) => b.learned.begun_ms - a.learned.begun_ms);
    if (records.length === 0) {
      if (mine === run) result.replaceChildren(html('section', { class: 'card' }, html('p', {}, text('progress.none')),
        html('div', { class: 'row' }, button({ label: 'progress.start', class: 'main', press: () => go('#start') }))));
      return;
    }
    const { read, progress } = await link.exam(EXAM.PROGRESS, { sittings: records.map((record) => record.learned) });
    if (mine !== run) return;
    const remove = async (record) => {
      const line = await forgetRecord(record, async () => {
        await update();
        element.querySelector('h1').focus();
      });
      await update();
      result.prepend(line.element);
      line.focus();
    };
    const remark = (place) => (read[place] === null ? text('progress.unread') : progress.first[read[place]] ? '' : text('progress.again'));
    result.replaceChildren(found(progress), kinds(progress.kinds), sizes(progress), wrong(progress.false_calls),
      sat(records, remark, resume, remove));
  }

  return { element, update };
}

function found({ found: whole, heights, detection, trials }) {
  const row = (name, one) => [name, text('debrief.of', { got: one.found, of: one.of }), bounds(one.bounds_percent)];
  return card('progress.found', whole.of === 0 ? html('p', {}, text('progress.no_flaws')) : [
    table('progress.found', ['progress.height', 'mark.found', 'progress.chance'],
      [...heights.map((one) => row(between(one), one)), row(text('progress.all'), whole)]),
    html('p', { class: 'quiet' }, text('progress.chance.words'))], html('h3', {}, text('progress.curve')), ...curve(detection, trials));
}

function between({ from_mm, below_mm }) {
  if (from_mm === null) return text('progress.below', { below_mm });
  return below_mm === null ? text('progress.from', { from_mm }) : text('progress.between', { from_mm, below_mm });
}

function curve(detection, trials) {
  const say = (key, values) => html('p', {}, text(key, values));
  if (detection.state === 'few') return [say('progress.few', { missing: detection.missing, have: trials.length })];
  if (detection.state === 'no-curve') return [say('progress.no_curve', { reason: detection.reason })];
  if (detection.state !== 'curve') return [say(`progress.${detection.state}`, { count: trials.length })];
  const { a90_mm, a90_95_mm } = detection;
  const highest = Math.max(...trials.map(([height_mm]) => height_mm));
  const a90 = a90_mm === null ? say('progress.falling') : say('progress.a90', { a90_mm });
  const bound = a90_mm === null ? null : a90_95_mm === null ? say('progress.no_bound') : say('progress.a90_95', { bound_mm: a90_95_mm });
  const beyond = Math.max(a90_mm ?? 0, a90_95_mm ?? 0) > highest ? say('progress.beyond', { highest_mm: highest }) : null;
  return [html('figure', { class: 'curve-figure' }, drawCurve(trials, detection)), a90, bound, beyond,
    html('p', { class: 'quiet' }, text('progress.method'))];
}

function kinds(rows) {
  if (rows.length === 0) return '';
  return card('progress.kinds', table('progress.kinds', ['mark.was', 'mark.called', 'progress.right', 'mark.times'],
    rows.map((row) => [kindNamed(row.kind), row.called ? kindNamed(row.called) : text('progress.no_kind'), text(row.right ? 'progress.yes' : 'progress.no'), row.count])));
}

function sizes({ length, depth, height }) {
  if (length.count + depth.count + height.count === 0) return '';
  const mm = (value, show) => (value === null ? '–' : text(show, { value_mm: value }));
  const row = (name, one) => [text(name), one.count, mm(one.mean_mm, 'mm.signed'), mm(one.spread_mm, 'mm')];
  return card('progress.sizes', html('p', { class: 'quiet' }, text('progress.sizes.words')),
    table('progress.sizes', ['progress.measure', 'progress.count', 'progress.mean', 'progress.spread'],
      [row('part.length', length), row('part.depth', depth), row('part.height', height)]));
}

function wrong({ count, weld_length_mm, per_m, bounds_per_m }) {
  if (per_m === null) return '';
  return card('mark.wrong', html('p', {}, text('progress.wrong', { count, metres: number(weld_length_mm / 1000, 2), rate: number(per_m),
    low: number(bounds_per_m[0]), high: number(bounds_per_m[1]) })));
}

function sat(records, remark, resume, remove) {
  const file = () => ({ caution: text('caution.long'), version: 1, sittings: records.map((record) => record.learned) });
  return card('progress.plates', html('ul', { class: 'progress-plates' }, records.map((record, place) => {
    const { title, begun_ms, mark_percent, passed } = record.learned;
    const values = { title: titleNamed(title), when: date(begun_ms) };
    return html('li', {}, button({ label: 'start.look', class: 'continue', values, press: () => resume(record) }),
      html('span', {}, text('progress.mark', { percent: mark(mark_percent), result: text(passed ? 'debrief.passed' : 'debrief.failed') }), ' ',
        html('span', { class: 'quiet' }, remark(place))),
      button({ label: 'start.forget', values, face: '×', class: 'small', press: () => remove(record) }));
  })), html('div', { class: 'row no-print' },
    button({ label: 'progress.save', class: 'main', press: () => save('what-i-learned.json', JSON.stringify(file(), null, 1)) })));
}

function card(title, ...content) {
  return html('section', { class: 'card' }, html('h2', {}, text(title)), ...content);
}

function table(title, heads, rows) {
  return html('div', { class: 'table-room', tabindex: 0, role: 'group', 'aria-label': text(title) },
    html('table', { class: 'parts' }, html('thead', {}, html('tr', {}, heads.map((head) => html('th', { scope: 'col' }, text(head))))),
    html('tbody', {}, rows.map(([first, ...rest]) => html('tr', {}, html('th', { scope: 'row' }, first), rest.map((cell) => html('td', {}, String(cell))))))));
}
