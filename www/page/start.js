// The start place: the plates of the yard, a new one, a file, what was left open.
import { choicesView } from './choices.js';
import { readAttempt } from './attempt-file.js';
import { newId } from './attempts.js';
import { html, set } from './element.js';
import { button, selectField } from './fields.js';
import { clear } from './failure.js';
import { forgetRecord } from './forget.js';
import { groove } from './groove.js';
import { isRecording } from './recording-file.js';
import { date } from './language.js';
import { REFUSED } from './link.js';
import { modelLink } from './model-link.js';
import { text } from './text.js';
import { all } from './store.js';
import { titleNamed } from './told.js';
import { BLOCKS, LEVELS, PLATES, PREPARATIONS, freshAddress, freshSeed, plateOfDay } from './yard.js';

/** Old plates that are listed. */
const SHOWN = 5;

/** `go(address)` opens an address, `open(source)` a plate, `exam(file)` a recorded exam, `resume(record)` an attempt; `keep()` saves the open one. */
export function startView({ go, open, resume, keep, exam }) {
  const plates = PLATES.map(([plate, thickness_mm, joint]) => html('li', { class: 'card plate-card' },
    groove(thickness_mm, joint), html('h3', {}, text(`plate.${plate}`)), html('p', {}, text(`plate.${plate}.words`)),
    button({ label: 'start.open', values: { plate: text(`plate.${plate}`) }, face: text('start.open.face'),
      press: () => go(`#bench?plate=${plate}`) })));
  const blocks = BLOCKS.map((block) => html('li', { class: 'card block-card' }, html('h3', {}, text(`block.${block}`)),
    html('p', {}, text(`block.${block}.words`)), button({ label: 'start.block', values: { block: text(`block.${block}`) },
      face: text('start.block.face'), press: () => go(`#bench?block=${block}`) })));
  const today = plateOfDay(new Date());
  const quick = html('div', { class: 'row quick' },
    button({ label: 'start.lessons', press: () => go('#lessons') }),
    button({ label: 'start.first', class: 'main', press: () => go(`#bench?plate=${PLATES[0][0]}`) }),
    button({ label: 'start.today', press: () => go(freshAddress(today.preparation, today.level, today.seed)),
      values: { joint: text(`preparation.${today.preparation}`), level: today.level } }));
  const preparation = selectField({ label: 'start.preparation', options: PREPARATIONS.map((p) => [p, text(`preparation.${p}`)]), put: () => {} });
  const level = selectField({ label: 'start.level', options: LEVELS.map((l) => [l, text(`level.${l}`)]), put: () => {} });
  const seed = html('input', { id: 'seed', type: 'text', inputmode: 'numeric', autocomplete: 'off', placeholder: text('start.seed.any') });
  const fresh = () => go(freshAddress(preparation.input.value, level.input.value, seed.value.trim() || freshSeed()));
  const file = html('input', { type: 'file', id: 'plate-file', class: 'unseen', accept: '.toml,.json,.npz,text/plain', onchange: () => {
    if (file.files[0]) read(file.files[0]);
    file.value = '';
  } });
  const drop = html('label', { class: 'drop', for: 'plate-file' }, html('strong', {}, text('start.file')), ' ', text('start.file.words'));
  const earlier = html('ul', { class: 'earlier' });
  const progress = button({ label: 'start.progress', press: () => go('#progress') });
  const earlierBox = html('section', { hidden: true, 'aria-labelledby': 'earlier-title' },
    html('h2', { id: 'earlier-title' }, text('start.earlier')), earlier, progress);
  const element = html('div', { class: 'start' },
    html('header', {}, html('h1', { tabindex: -1 }, text('start.title')), choicesView(keep)), html('p', { class: 'lead' }, text('start.lead')), quick,
    earlierBox,
    html('section', { 'aria-labelledby': 'plates-title' }, html('h2', { id: 'plates-title' }, text('start.plates')), html('p', { class: 'quiet' }, text('start.clock')),
      html('ul', { class: 'plates' }, plates)),
    html('div', { class: 'two' },
      html('section', { class: 'card', 'aria-labelledby': 'new-title' }, html('h2', { id: 'new-title' }, text('start.new')),
        html('p', {}, text('start.new.words')),
        html('div', { class: 'trio' }, preparation.element, level.element,
          html('div', { class: 'field' }, html('label', { for: 'seed' }, text('start.seed')), seed)),
        button({ label: 'start.new.open', press: fresh })),
      html('section', { class: 'card', 'aria-labelledby': 'file-title' }, html('h2', { id: 'file-title' }, text('start.own')),
        html('p', {}, text('start.own.words')), file, drop)),
    html('section', { class: 'card start-board', 'aria-labelledby': 'flaw-bench-title' }, html('div', {}, html('h2', { id: 'flaw-bench-title' }, text('start.flaw')),
      html('p', {}, text('start.flaw.words'))), button({ label: 'start.flaw.open', press: () => go('#flaw') })),
    html('section', { class: 'card teachers', 'aria-labelledby': 'teachers-title' }, html('h2', { id: 'teachers-title' }, text('start.teachers')),
      html('p', {}, text('start.teachers.words')), html('div', { class: 'row' }, button({ label: 'start.make', press: () => go('#make') }), button({ label: 'start.desk', press: () => go('#desk') }), button({ label: 'start.mark', press: () => go('#mark') }))),
    html('section', { 'aria-labelledby': 'blocks-title' }, html('h2', { id: 'blocks-title' }, text('start.blocks')),
      html('ul', { class: 'plates' }, blocks)),
    html('p', { class: 'caution' }, text('caution.long'), ' ', modelLink()));

  async function read(from) {
    clear();
    if (await isRecording(from)) return exam(from);
    const attempt = await readAttempt(from, () => Object.assign(new Error(from.name), { name: REFUSED, reason: 'kept.bad_file' }));
    if (attempt) return resume({ id: newId(), ...attempt });
    open({ kind: 'file', name: from.name, bytes: await firstBytes(from) });
  }
  dropping(read);

  /** The old plates, and in the place of the one `forgotten` just now the way to have it back. */
  async function list(forgotten = null) {
    const records = await all();
    set(earlierBox, { hidden: records.length === 0 && !forgotten });
    set(progress, { hidden: !records.some((record) => record.learned) });
    const rows = records.slice(0, SHOWN).map(row);
    if (forgotten) rows.splice(forgotten.place, 0, html('li', {}, forgotten.line.element));
    earlier.replaceChildren(...rows);
  }

  function row(record, place) {
    const title = titleNamed(record.title);
    const again = button({ label: record.handed_in ? 'start.look' : 'start.continue', class: 'continue', press: () => resume(record),
      values: { title, when: date(record.updated, { clock: true }) } });
    return html('li', {}, again, button({ label: 'start.forget', values: { title }, face: '×', class: 'small', press: async () => {
      const line = await forgetRecord(record, async () => {
        await list();
        earlier.children[place]?.querySelector('button').focus();
      });
      await list({ place, line });
      line.focus();
    } }));
  }

  return { element, update: () => list() };
}

/** More than the largest plate file allowed is not worth reading: the simulation says what the limit is. */
export async function firstBytes(file) {
  return new Uint8Array(await file.slice(0, 4_100_000).arrayBuffer());
}

/** A plate file can be dropped anywhere on the page. */
function dropping(read) {
  addEventListener('dragover', (event) => {
    if (!event.dataTransfer?.types.includes('Files')) return;
    event.preventDefault();
    document.body.classList.add('dropping');
  });
  addEventListener('dragleave', (event) => {
    if (!event.relatedTarget) document.body.classList.remove('dropping');
  });
  addEventListener('drop', (event) => {
    document.body.classList.remove('dropping');
    const file = event.dataTransfer?.files[0];
    if (!file) return;
    event.preventDefault();
    read(file);
  });
}
