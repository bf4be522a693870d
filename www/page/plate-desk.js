// For whoever hands plates out: draw one or open a file, see what is hidden in it and what each flaw shows.
import { TO_PAGE } from '../shared/messages.js';
import { drawn } from './svg-text.js';
import { html, say, set } from './element.js';
import { examMaker } from './exam-maker.js';
import { clear, reasonItem } from './failure.js';
import { button, selectField } from './fields.js';
import { save } from './save.js';
import { sealPlate } from './seal.js';
import { firstBytes } from './start.js';
import { number, signed, text } from './text.js';
import { kindNamed, titleNamed } from './told.js';
import { LEVELS, PREPARATIONS, longSeed } from './yard.js';

/** `open(source)` puts a plate on the bench. */
export function plateDeskView(link, { open }) {
  const preparation = selectField({ label: 'start.preparation', options: PREPARATIONS.map((p) => [p, text(`preparation.${p}`)]), put: () => {} });
  const level = selectField({ label: 'start.level', options: LEVELS.map((l) => [l, text(`level.${l}`)]), put: () => {} });
  level.show('3');
  const seed = html('input', { id: 'desk-seed', type: 'text', inputmode: 'numeric', autocomplete: 'off', placeholder: text('start.seed.any') });
  const file = html('input', { type: 'file', id: 'desk-file', class: 'unseen', accept: '.toml,text/plain', onchange: async () => {
    const chosen = file.files[0];
    if (chosen) await look({ kind: 'file', name: chosen.name, bytes: await firstBytes(chosen) });
    file.value = '';
  } });
  const bar = html('progress', { max: 1, value: 0, 'aria-labelledby': 'desk-progress' });
  const stop = button({ label: 'desk.stop', press: () => ended() });
  const progress = html('div', { class: 'desk-progress', hidden: true },
    html('p', { id: 'desk-progress', role: 'status' }, text('desk.looking')), bar, stop);
  const result = html('div', { class: 'desk-result' });
  const element = html('div', { class: 'desk' },
    html('h1', { tabindex: -1 }, text('desk.title')), html('p', { class: 'lead' }, text('desk.lead')),
    html('section', { class: 'card desk-ask', 'aria-labelledby': 'desk-ask' }, html('h2', { id: 'desk-ask' }, text('desk.which')),
      html('div', { class: 'trio' }, preparation.element, level.element,
        html('div', { class: 'field' }, html('label', { for: 'desk-seed' }, text('start.seed')), seed)),
      html('div', { class: 'row' }, button({ label: 'desk.draw', class: 'main', press: () => draw() }), file,
        html('label', { class: 'drop', for: 'desk-file' }, html('strong', {}, text('desk.file'))))),
    progress, result, html('p', { class: 'caution' }, text('caution.long')));
  let asked = 0;

  link.addEventListener(TO_PAGE.LOOKED, ({ detail }) => { bar.value = detail.share; });

  function draw() {
    if (!seed.value.trim()) seed.value = longSeed();
    return look({ kind: 'practice', preparation: preparation.input.value, level: Number(level.input.value), seed: seed.value.trim() });
  }

  function ended() {
    asked++;
    progress.hidden = true;
    link.look({ kind: 'nothing' });
  }

  async function look(source) {
    const mine = ++asked;
    clear();
    progress.hidden = false;
    result.replaceChildren();
    try {
      const shown = await link.look(source);
      if (mine !== asked || !shown) return;
      result.replaceChildren(...shownPlate(shown, source));
      result.querySelector('h2').focus();
    } finally {
      if (mine === asked) progress.hidden = true;
    }
  }

  function shownPlate(shown, source) {
    const { table, words, drawings } = shown;
    const fair = table.unfair.length === 0;
    const keep = () => save(`${shown.id}.toml`, shown.file, 'application/toml');
    // The file is what the judgement speaks of: a drawn plate is opened from it, too.
    const bench = () => open(source.kind === 'file' ? source
      : { kind: 'file', name: `${shown.id}.toml`, bytes: new TextEncoder().encode(shown.file) });
    const seal = () => sealPlate(link, { name: `${shown.id}.toml`, bytes: new TextEncoder().encode(shown.file), id: shown.id });
    return [
      html('section', { class: `card verdict ${fair ? 'passed' : 'not-passed'}`, 'aria-labelledby': 'desk-plate' },
        html('h2', { id: 'desk-plate', tabindex: -1 }, titleNamed(shown.title)), html('p', { class: 'quiet' }, shown.note),
        html('p', {}, text(fair ? 'desk.fair' : 'desk.unfair')),
        table.unfair.length ? html('ul', {}, table.unfair.map((reason) => reasonItem(reason))) : null,
        html('div', { class: 'row' }, button({ label: 'desk.bench', class: 'main', press: bench }), button({ label: 'desk.save', press: keep }), button({ label: 'seal.seal', press: seal }))),
      examMaker(link, { name: `${shown.id}.toml`, bytes: new TextEncoder().encode(shown.file) }),
      html('section', { class: 'card truth-and-calls' }, html('h2', {}, text('desk.map')),
        ['top', 'side', 'end'].map((name) => html('figure', { class: `drawing-${name}` }, html('figcaption', {}, text(`debrief.${name}`)), drawn(drawings[name])))),
      html('section', { class: 'card' }, html('h2', {}, text('desk.shows')),
        html('p', { class: 'quiet' }, text('desk.level', { level: signed(table.recording_level_db) })),
        table.flaws.length === 0 ? html('p', {}, text('debrief.clean')) : flawTable(table.flaws, words)),
    ];
  }

  return { element, update() {} };
}

/** Side by side and leg by leg: echo, where from, what stands beside it. */
function flawTable(flaws, words) {
  const heads = ['desk.flaw', 'desk.from', 'desk.echo', 'desk.beam', 'desk.stand', 'desk.beside', 'desk.judged'];
  const rows = flaws.flatMap((flaw, i) => flaw.rows.map((row, k) => html('tr', {},
    html('th', { scope: 'row' }, k ? '' : text('desk.flaw.words', { n: i + 1, kind: kindNamed(words.kinds[i]).toLowerCase(),
      from_mm: flaw.extent.along_mm[0], to_mm: flaw.extent.along_mm[1] })),
    html('td', {}, text('desk.from.words', { side: row.side, leg: text(`leg.${row.leg}`) })),
    html('td', { class: 'points' }, text('db', { value: signed(row.amplitude_db) })),
    html('td', { class: 'points' }, `${number(row.angle_deg)}°`),
    html('td', {}, text('desk.stand.words', { offset_mm: row.index_offset_mm, y_mm: row.y_mm })),
    html('td', {}, text('desk.beside.words', { geometry: signed(row.geometry_db), noise: signed(row.noise_db) })),
    html('td', {}, words.standings[i][k]))));
  return html('div', { class: 'table-room', tabindex: 0, role: 'group', 'aria-label': text('desk.shows') },
    html('table', { class: 'parts' }, html('thead', {}, html('tr', {}, heads.map((head) => html('th', { scope: 'col' }, text(head))))),
      html('tbody', {}, rows)));
}
