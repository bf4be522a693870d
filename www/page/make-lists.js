// Lists of the plate maker: the flaws with what they show, and what is wrong in the text.
import { highest } from './board-run.js';
import { html, set } from './element.js';
import { reasonItem } from './failure.js';
import { button } from './fields.js';
import { signed, text } from './text.js';
import { kindNamed } from './told.js';

/** `held` hears `choose(index)` and `remove(index)`. */
export function flawList(held) {
  const list = html('ul', { class: 'make-list' });
  const fair = html('div', { role: 'status' });
  return {
    element: html('div', {}, list, fair),
    update({ laid, echoes, table, chosen }) {
      if (!laid) return;
      const focused = list.contains(document.activeElement) ? [...list.querySelectorAll('button')].indexOf(document.activeElement) : -1;
      list.replaceChildren(...laid.flaws.map((flaw, i) => {
        const heard = laid.procedure.sides.map((side, k) => {
          const db = echoes?.[i]?.[k] ? highest(echoes[i][k])?.amplitude_db : null;
          return db === null || db === undefined ? text('make.side_waiting', { side })
            : text(db >= laid.procedure.recording_level_db ? 'make.side_over' : 'make.side_under', { side, db: signed(db) });
        });
        return html('li', { class: i === chosen ? 'chosen' : '' },
          button({ label: 'make.choose', values: { n: i + 1, kind: kindNamed(flaw.words) }, face: `${i + 1} · ${kindNamed(flaw.words)}`, class: 'make-choose', press: () => held.choose(i) }),
          html('span', { class: 'make-heard' }, heard.map((words) => html('span', {}, words)),
            table?.standings[i]?.length ? html('span', { class: 'quiet' }, [...new Set(table.standings[i])].join(', ')) : null),
          button({ label: 'make.remove', values: { n: i + 1 }, face: '×', class: 'small', press: () => held.remove(i) }));
      }));
      list.querySelectorAll('.make-choose').forEach((one, i) => set(one, { 'aria-pressed': String(i === chosen) }));
      list.querySelectorAll('button')[focused]?.focus();
      const unfair = table?.table.unfair ?? null;
      fair.replaceChildren(...(unfair === null ? [] : unfair.length
        ? [html('p', {}, text('desk.unfair')), html('ul', { class: 'sentences' }, unfair.map((why) => reasonItem(why)))] : [html('p', {}, text('desk.fair'))]));
    },
  };
}

/** `go(line)` leads to a line of the text. */
export function problemList(go) {
  const element = html('ul', { class: 'board-problems', role: 'alert', hidden: true });
  return { element, show(problems) {
    set(element, { hidden: problems.length === 0 });
    element.replaceChildren(...problems.map(({ line, path, message }) => reasonItem(`${path}${path ? ': ' : ''}${message}`,
      line ? button({ label: 'make.line', values: { line }, class: 'small', press: () => go(line) }) : null, ' ')));
  } };
}
