// The plate maker: a drawing board for joint and flaws beside the text of the plate file, with what each flaw shows.
import { BOARD } from '../shared/messages.js';
import { BoardRun, highest } from './board-run.js';
import { boardSection } from './board-section.js';
import { html, say, set, svg } from './element.js';
import { examMaker } from './exam-maker.js';
import { button, selectField } from './fields.js';
import { KINDS, beginning, flawKeys } from './flaw-kinds.js';
import { box } from './flaw-marks.js';
import { MakeDocument } from './make-document.js';
import { flawFields, jointFields } from './make-fields.js';
import { makeMarks } from './make-marks.js';
import { flawList, problemList } from './make-lists.js';
import { makeFiles } from './make-files.js';
import { makePlan } from './make-plan.js';
import { number, text } from './text.js';
import { PREPARATIONS } from './yard.js';

/** How long nothing may change before the whole table is asked for, ms. */
const QUIET_MS = 700;

/** `open(source)` puts the plate on the bench. */
export function makeView(link, { open }) {
  const own = new MakeDocument(link);
  const at = { laid: null, frame: null, scan: null, echoes: null, table: null, chosen: 0 };
  let later = 0;
  const notice = html('p', { class: 'make-notice', role: 'status' });
  const area = html('textarea', { id: 'make-text', class: 'make-text', spellcheck: 'false', autocapitalize: 'off', autocomplete: 'off', rows: 22,
    oninput: () => own.put(area.value, 'typing') });
  const problems = problemList((line) => {
    const before = area.value.split('\n').slice(0, line - 1).join('\n').length;
    area.focus();
    area.setSelectionRange(before + 1, before + 1 + (area.value.split('\n')[line - 1] ?? '').length);
  });

  const held = {
    choose(index) {
      if (index === at.chosen) return;
      at.chosen = index;
      show();
      want();
    },
    async edit(edits, key = null) {
      if (Array.isArray(edits) && !edits.length) return;
      const wrong = await own.edit(edits, key);
      say(notice, wrong ? text('make.refused', { why: wrong.map(({ path, message }) => `${path}: ${message}`).join(' ') }) : '');
      if (wrong) show();
    },
    remove: (index) => held.edit([{ remove_flaw: index }]),
  };

  const marks = svg('g', {});
  const section = boardSection({ label: text('board.section'), draw: (group, map, laid) => {
    if (!marks.parentNode) group.append(marks);
    inSection.update(laid, laid.flaws.map(({ extent }) => box(map, extent)), at.chosen, map.scale);
  } });
  const inSection = makeMarks(marks, { name: 'section', held, reach: (dx, dy, scale) => ({ across: dx / scale, down: dy / scale }),
    keys: { ArrowLeft: ['across', -1], ArrowRight: ['across', 1], ArrowUp: ['down', -1], ArrowDown: ['down', 1] } });
  const plan = makePlan(held);
  const list = flawList(held);
  const joint = jointFields(held.edit);
  const flaw = flawFields(held.edit);

  const run = new BoardRun(link, {
    problems: (found) => problems.show(found),
    laid(laid) {
      problems.show([]);
      Object.assign(at, { laid, frame: null, echoes: null, table: null, chosen: Math.max(0, Math.min(at.chosen, laid.flaws.length - 1)) });
      show();
    },
    frame(frame, scan) {
      Object.assign(at, { frame, scan });
      section.update({ ...at, wide_mm: wide() });
      say(caption, text('board.section.label', { side: scan.side, offset_mm: scan.index_offset_mm, angle: number(at.laid.beams[scan.beam].angle_deg) }));
    },
    echoes(echoes, more) {
      at.echoes = echoes;
      list.update(at);
      if (!more) {
        clearTimeout(later);
        const of = own.text;
        later = setTimeout(async () => {
          if (own.text !== of || element.hidden) return;
          const table = await link.board(BOARD.TABLE);
          if (own.text !== of) return;
          at.table = table;
          list.update(at);
        }, QUIET_MS);
      }
    },
  });

  const preparation = selectField({ label: 'start.preparation', options: PREPARATIONS.map((p) => [p, text(`preparation.${p}`)]), put: () => {} });
  const kind = selectField({ label: 'flaw.kind', options: Object.keys(KINDS).map((k) => [k, text(`kind.${k}`)]), put: () => {} });
  const undo = button({ label: 'make.undo', press: () => own.undo() });
  const redo = button({ label: 'make.redo', press: () => own.redo() });
  const caption = html('p', { class: 'quiet' });
  const element = html('div', { class: 'board-place make-place' },
    html('header', { class: 'board-head' }, html('h1', { tabindex: -1 }, text('make.title')), html('p', { class: 'lead' }, text('make.lead')),
      html('div', { class: 'row' }, undo, redo, makeFiles(link, own, { open, id: () => at.laid?.plate.id ?? 'plate' }))),
    html('div', { class: 'make-drawings' },
      html('section', { class: 'card', 'aria-labelledby': 'make-section' }, html('h2', { id: 'make-section' }, text('board.section')), section.element, caption),
      html('section', { class: 'card', 'aria-labelledby': 'make-plan' }, html('h2', { id: 'make-plan' }, text('make.plan')), plan.element, html('p', { class: 'quiet' }, text('make.hint'))),
      notice),
    html('section', { class: 'card make-flaws', 'aria-labelledby': 'make-flaws' }, html('h2', { id: 'make-flaws' }, text('make.flaws')), list.element,
      html('div', { class: 'pair' }, kind.element, button({ label: 'make.add', press: add })), flaw.element),
    html('section', { class: 'card make-joint', 'aria-labelledby': 'make-joint' }, html('h2', { id: 'make-joint' }, text('make.joint')), joint.element,
      html('div', { class: 'pair' }, preparation.element, button({ label: 'make.new', press: () => fresh(preparation.input.value) }))),
    html('section', { class: 'card make-file', 'aria-labelledby': 'make-file' }, html('h2', { id: 'make-file' }, html('label', { for: 'make-text' }, text('make.file'))),
      problems.element, area),
    examMaker(link, { get name() { return `${at.laid?.plate.id ?? 'plate'}.toml`; }, get bytes() { return new TextEncoder().encode(own.text); } }),
    html('p', { class: 'caution' }, text('caution.long')));
  element.addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.target === area) return;
    const letter = event.key.toLowerCase();
    if (letter === 'z' && !event.shiftKey) own.undo();
    else if (letter === 'y' || letter === 'z') own.redo();
    else return;
    event.preventDefault();
  });
  own.addEventListener('change', () => {
    if (area.value !== own.text) area.value = own.text;
    undo.disabled = !own.can_undo;
    redo.disabled = !own.can_redo;
    want();
  });

  const wide = () => at.laid.procedure.index_offset_mm[1] * 2 + 20;
  const want = () => run.want({ name: 'plate.toml', text: own.text, first: at.chosen, scan: scanOf });

  /** From where the chosen flaw shows best; a plate without flaws is heard from its first side. */
  function scanOf(laid, echoes) {
    const all = (echoes?.[at.chosen] ?? []).map(highest).filter(Boolean);
    const best = all.reduce((found, echo) => (!found || echo.amplitude_db > found.amplitude_db ? echo : found), null)
      ?? laid.flaws[at.chosen]?.sides.find(({ view }) => view)?.view;
    const [near, far] = laid.procedure.index_offset_mm;
    const beam = best?.beam ?? Math.max(0, laid.beams.findIndex(({ angle_deg }) => angle_deg >= (best?.angle_deg ?? 60)));
    return { alone: null, side: best?.side ?? laid.procedure.sides[0], index_offset_mm: best?.index_offset_mm ?? (near + far) / 2,
      y_mm: best?.y_mm ?? laid.plate.length_mm / 2, gain_db: laid.procedure.reference_gain_db, beam };
  }

  async function add() {
    const { plate } = at.laid;
    const begun = beginning(kind.input.value, plate.thickness_mm);
    const count = at.laid.flaws.length;
    const seed = crypto.getRandomValues(new Uint32Array(1))[0];
    const start = Math.max(0, Math.min(plate.length_mm - begun.length_mm, 20 + ((count * 55) % Math.max(1, plate.length_mm - 60))));
    at.chosen = count;
    await held.edit([{ add_flaw: flawKeys({ ...begun, seed }, start) }]);
  }

  const fresh = async (joint) => own.put(await link.board(BOARD.CLEAN, { preparation: joint, seed: crypto.getRandomValues(new Uint32Array(1))[0] % 100_000 }));

  function show() {
    const { laid, chosen } = at;
    if (!laid) return;
    section.update({ ...at, wide_mm: wide() });
    plan.update(laid, chosen);
    joint.update(laid);
    flaw.update(laid, chosen);
    list.update(at);
  }

  return {
    element,
    take: (words) => own.put(words),
    update() {
      set(undo, { disabled: !own.can_undo });
      set(redo, { disabled: !own.can_redo });
      if (own.text) want();
      else if (MakeDocument.kept()) own.put(MakeDocument.kept());
      else fresh('single-v');
    },
  };
}
