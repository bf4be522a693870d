// The debrief: the mark, the truth beside the calls, every row with its reason.
import { html, say } from './element.js';
import { button } from './fields.js';
import { bothSides, sightTable } from './flaw-sight.js';
import { scanningGain } from './gain.js';
import { reportsView } from './reports.js';
import { mark, sentence } from './said.js';
import { save, savedWords } from './save.js';
import { shotView } from './shot-view.js';
import { drawn } from './svg-text.js';
import { number, text } from './text.js';
import { titleNamed } from './told.js';
import { PREPARATIONS, freshAddress, freshSeed } from './yard.js';

export function debriefView(session, { go, again, look }) {
  const title = html('h1', { tabindex: -1 });
  const body = html('div', { class: 'debrief-body' });
  const element = html('div', { class: 'debrief-place' }, title, body);
  let shown = null;
  // Whoever went to look at something comes back to the button that led there.
  let left = null;
  element.addEventListener('click', ({ target }) => { left = target.closest('button'); });

  function update() {
    const { handed_in, about } = session;
    if (!handed_in || handed_in === shown) return;
    shown = handed_in;
    if (handed_in.sealed) {
      // It has to be found again: its name stays.
      const kept = html('p', { class: 'quiet' });
      say(title, text('sealed.title', { title: titleNamed(about.title) }));
      body.replaceChildren(html('section', { class: 'card verdict passed' }, html('p', {}, text(about.recorded ? 'exam.recorded.handed_in' : 'sealed.words')),
        html('div', { class: 'row' }, button({ label: 'sealed.save', class: 'main', press: async () => say(kept, savedWords(await keepHandIn())) })), kept), reports(true));
      return;
    }
    const { marks, drawings, notes } = handed_in;
    say(title, text('debrief.title', { title: titleNamed(about.title) }));
    body.replaceChildren(verdict(marks), drawingsOf(drawings, about.id),
      marks.flaws.length ? section('debrief.flaws', html('ol', { class: 'mark-list' }, marks.flaws.map((row) => flawRow(row, notes.find((note) => note.flaw === row.number))))) : '',
      marks.application.length ? section('debrief.application', partsTable(marks.application)) : '',
      marks.apparatus.length ? section('debrief.apparatus', partsTable(marks.apparatus)) : '',
      marks.clean.length ? section('debrief.clean', partsTable(marks.clean)) : '',
      marks.calls.length ? section('debrief.calls', html('ol', { class: 'mark-list' }, marks.calls.map((row) => callRow(session, row, look)))) : '',
      reports(false), html('p', { class: 'quiet' }, sentence(marks.not_marked)), html('p', { class: 'caution' }, text('said.caution')));
  }

  const reports = (sealed) => reportsView({ sealed, name: () => session.about.id, report: (reader) => session.report(reader) });
  const keepHandIn = async () => {
    const name = `${session.about.id}-hand-in.json`;
    save(name, await session.handInFile());
    return name;
  };

  function verdict(marks) {
    const [result, ...reasons] = marks.reasons;
    return html('section', { class: `card verdict ${marks.passed ? 'passed' : 'not-passed'}` },
      html('p', { class: 'verdict-words' }, html('span', { class: 'verdict-mark', 'aria-hidden': 'true' }, marks.passed ? '✓' : '✗'),
        text(marks.passed ? 'debrief.passed' : 'debrief.failed'), html('span', { class: 'verdict-percent' }, mark(marks.percent))),
      html('ul', {}, [result, ...reasons].map((reason) => html('li', {}, sentence(reason)))),
      html('div', { class: 'row no-print' },
        button({ label: 'debrief.again', press: again }),
        button({ label: 'debrief.fresh', class: 'main', press: () => go(fresh()) }),
        button({ label: 'debrief.bench', press: look }),
        button({ label: 'debrief.hand_in', press: keepHandIn }),
        button({ label: 'debrief.answers', press: async () => save(`${session.about.id}-answers.json`, await session.answers()) }),
        button({ label: 'debrief.log', press: async () => save(`${session.about.id}-log.jsonl`, await session.log()) }),
        button({ label: 'debrief.print', press: () => print() })));
  }

  /** A fresh plate is like the one before: same preparation and level where it was drawn, else an easy one. */
  function fresh() {
    const { source, about } = session;
    if (source.kind === 'practice') return freshAddress(source.preparation, source.level, freshSeed());
    const same = (name) => text(`preparation.${name}`).toLowerCase() === about.preparation.toLowerCase();
    return freshAddress(PREPARATIONS.find(same) ?? PREPARATIONS[0], 2, freshSeed());
  }

  function flawRow(row, note) {
    const view = note?.best_view;
    return html('li', { class: row.call ? 'hit' : 'miss' },
      html('p', {}, html('span', { class: 'outcome' }, text(row.call ? 'outcome.found' : 'outcome.missed')), ' ', sentence(row.reason)),
      note ? sightTable(note) : null,
      note?.session.length ? html('ul', { class: 'seen' }, note.session.map((one) => html('li', {}, sentence(one)))) : null,
      note?.told_by ? html('p', { class: 'told-by' }, sentence(note.told_by)) : null,
      note ? html('ul', { class: 'sentences' }, note.sentences.map((one) => html('li', {}, sentence(one)))) : null,
      view ? button({ label: 'debrief.show', class: 'no-print', values: { n: row.number }, press: () => show(view) }) : null,
      note ? bothSides(session, note) : null,
      row.parts.length ? html('details', { open: true }, html('summary', {}, text('debrief.parts')), partsTable(row.parts)) : null);
  }

  /** Puts the probe where a flaw shows best, its beam and gate on it. */
  function show(view) {
    session.truth = true;
    const { beams } = session.about;
    const seen = (beam) => beam && Math.abs(beam.angle_deg - view.angle_deg) < 0.01;
    const beam = seen(beams[view.beam]) ? view.beam : beams.findIndex(seen);
    session.move({ side: view.side, index_offset_mm: view.index_offset_mm, y_mm: view.y_mm, skew_deg: 0 });
    session.adjust({ gain_db: scanningGain(session) });
    session.gateOn({ beam: Math.max(0, beam), sound_path_mm: view.sound_path_mm });
    look();
  }

  return { element, update, back: () => left?.isConnected && left.focus() };
}

function section(label, content) {
  return html('section', { class: 'card' }, html('h2', {}, text(label)), content);
}

function drawingsOf(drawings) {
  const figure = (name) => html('figure', { class: `drawing-${name}` }, html('figcaption', {}, text(`debrief.${name}`)), drawn(drawings[name]));
  return html('section', { class: 'card truth-and-calls' }, html('h2', {}, text('said.head.truth')),
    ['top', 'side', 'end'].map(figure));
}

function callRow(session, row, look) {
  return html('li', { class: row.outcome === 'hit' ? 'hit' : 'miss' },
    html('p', {}, html('span', { class: 'outcome' }, text(`outcome.${row.outcome}`)), ' ', sentence(row.reason),
      row.scheme_line ? html('span', { class: 'quiet' }, ' ', text(row.scheme_line)) : null),
    shotView(session, row.number - 1, look));
}

function partsTable(parts) {
  const head = html('tr', {}, ['debrief.part', 'said.column.points', 'said.column.why', 'debrief.line'].map((label) => html('th', { scope: 'col' }, text(label))));
  return html('div', { class: 'table-room', tabindex: 0, role: 'group', 'aria-label': text('debrief.parts') },
    html('table', { class: 'parts' }, html('thead', {}, head), html('tbody', {}, parts.map((part) => html('tr', {},
      html('th', { scope: 'row' }, text(`part.${part.part}`)),
      html('td', { class: 'points' }, text('debrief.of', { got: short(part.points), of: short(part.possible) })),
      html('td', {}, sentence(part.reason)), html('td', { class: 'quiet' }, text(part.scheme_line)))))));
}

const short = (points) => number(points, Number.isInteger(points) ? 0 : 1);
