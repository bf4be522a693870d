// Recording a scan: along the weld by itself or by hand, how far it is, what is missing, files.
import { html, say, set } from './element.js';
import { button, numberField } from './fields.js';
import { refusal } from './refusal.js';
import { sizingView } from './sizing-panel.js';
import { openField, saveRecording } from './recording-file.js';
import { clock, length, number, text } from './text.js';

export function recordingPanel(session, recording, { notice, show, look: lookAtIt, editing }) {
  const wish = { from_mm: 0, to_mm: 0, step_mm: 1, index_offset_mm: 0, raster: 1, apart_mm: 5 };
  const field = (label, name, step) => numberField({ label, unit: 'unit.mm', step, put: (value) => { wish[name] = value; update(); } });
  const from = field('record.from', 'from_mm', 1);
  const to = field('record.to', 'to_mm', 1);
  const step = field('record.step', 'step_mm', 0.5);
  const offset = field('record.offset', 'index_offset_mm', 0.5);
  const apart = field('record.apart', 'apart_mm', 0.5);
  const raster = numberField({ label: 'record.lines', step: 1, min: 1, max: 16, decimals: 0, put: (value) => {
    wish.raster = Math.min(16, Math.max(1, Math.round(value)));
    update();
  } });
  const sides = html('div', { class: 'row' });
  const boxes = () => [...sides.querySelectorAll('input')];
  const go = button({ label: 'record.run', class: 'main', press: run });
  const cancel = button({ label: 'record.cancel', press: () => recording.stop() });
  const hand = button({ label: 'record.hand', press: byHand });
  const bar = html('progress', { max: 1, 'aria-label': text('record.progress') });
  const words = html('p', { role: 'status' });
  const list = html('ul', { class: 'record-passes' });
  const kept = html('p', { class: 'quiet' });
  const look = button({ label: 'record.look', press: lookAtIt });
  const fresh = button({ label: 'record.forget', class: 'danger', press: () => recording.forget() });
  const store = button({ label: 'record.save', press: async () => {
    say(fileWords, text('record.saving'));
    await saveRecording(recording).finally(() => say(fileWords, ''));
  } });
  const file = openField('recording-file', { label: 'record.file.choose', notice: (words) => say(fileWords, words), open: async (from) => {
    await recording.load(from);
    const plate = recording.about.setting.plate_id;
    say(fileWords, text(plate === session.about.id ? 'record.file.opened' : 'record.file.other', { name: from.name, plate }));
    show('recorded');
  } });
  const fileWords = html('p', { role: 'status' });
  const sizing = sizingView(session, recording, editing);
  const done = html('section', { class: 'card record-done', 'aria-labelledby': 'record-done-title' },
    html('h2', { id: 'record-done-title' }, text('record.done')), list, kept, html('div', { class: 'row' }, look, store, fresh));
  const element = html('div', { class: 'recording-panel' },
    html('section', { class: 'card record', 'aria-labelledby': 'record-title' },
      html('h2', { id: 'record-title' }, text('record.title')), html('p', { class: 'quiet' }, text('record.words')),
      html('fieldset', { class: 'trio' }, html('legend', {}, text('record.way')), from.element, to.element, step.element, offset.element, raster.element, apart.element),
      html('fieldset', {}, html('legend', { class: 'unseen' }, text('record.sides')), sides),
      html('div', { class: 'row' }, go, cancel, hand), bar, words),
    html('section', { class: 'card record-file', 'aria-labelledby': 'record-file-title' },
      html('h2', { id: 'record-file-title' }, text('record.file')), html('p', { class: 'quiet' }, text('record.file.words')), file, fileWords));
  element.prepend(done, sizing.element);

  session.addEventListener('open', () => {
    const { length_mm, procedure } = session.about;
    Object.assign(wish, { from_mm: 0, to_mm: length_mm, step_mm: 1, index_offset_mm: session.pose.index_offset_mm });
    sides.replaceChildren(...procedure.sides.map((side) => {
      const box = html('input', { type: 'checkbox', value: side, onchange: update });
      box.checked = true;
      return html('label', { class: 'check' }, box, html('span', {}, text('side.name', { side })));
    }));
  });

  const asked = (chosen, index_offsets_mm) => ({ face: session.pose.face, sides: chosen, index_offsets_mm, skew_deg: session.pose.skew_deg,
    from_mm: wish.from_mm, to_mm: wish.to_mm, step_mm: wish.step_mm });

  /** Index offsets of the raster lines, away from the weld. */
  const rasters = () => Array.from({ length: wish.raster }, (_, i) => wish.index_offset_mm + i * wish.apart_mm);

  /** How far it is stays in sight: on a phone the views, longer than the live ones, push it down, and so does what is recorded. */
  const inSight = () => requestAnimationFrame(() => bar.scrollIntoView({ block: 'nearest' }));

  async function run() {
    if (recording.busy) return;
    const chosen = boxes().filter((box) => box.checked).map((box) => box.value);
    if (chosen.length === 0) return notice(text('record.no_side'));
    const far = session.pose.index_offset_mm;
    const before = recording.about?.passes.length ?? 0;
    try {
      const running = recording.run(asked(chosen, rasters()));
      show('recorded');
      inSight();
      const end = await running;
      say(words, '');
      const lost = recording.about.passes.slice(before).reduce((sum, { missing }) => sum + missing.length, 0);
      notice(end.stopped ? text('record.stopped', { done: end.done, all: end.all })
        : text(lost ? 'record.finished_part' : 'record.finished', { taken: end.all - lost, all: end.all, time: number(end.elapsed_ms / 1000) }));
      // Whoever waited for it looks at it next.
      if ([go, cancel, document.body].includes(document.activeElement)) look.focus();
    } catch (error) {
      show(recording.any ? 'recorded' : 'live');
      notice(refusal(error.message));
    }
    session.move({ index_offset_mm: far });
  }

  async function byHand() {
    if (recording.by_hand) return recording.stop();
    try {
      await recording.byHand(asked([session.pose.side], [session.pose.index_offset_mm]));
      notice(text('record.hand.on'));
    } catch (error) {
      notice(refusal(error.message));
    }
  }

  function passWords({ face, side, index_offset_mm, start_mm, step_mm, lines, missing }, i) {
    const place = text('record.pass', { n: i + 1, face: text(`face.${face}`), side, offset_mm: index_offset_mm, from_mm: start_mm,
      to_mm: start_mm + (lines - 1) * step_mm, lines: lines - missing.length });
    return missing.length ? `${place} ${text('record.missing', { count: missing.length, where: stretches(missing, start_mm, step_mm) })}` : place;
  }

  function update() {
    if (!session.open) return;
    from.show(wish.from_mm);
    to.show(wish.to_mm);
    step.show(wish.step_mm);
    offset.show(wish.index_offset_mm);
    raster.show(wish.raster);
    apart.show(wish.apart_mm);
    offset.limits(...session.about.procedure.index_offset_mm);
    const { progress, by_hand } = recording;
    set(go, { 'aria-disabled': recording.busy || session.handed_in ? 'true' : null });
    set(store, { disabled: recording.busy });
    set(hand, { 'aria-pressed': String(by_hand), 'aria-disabled': progress || session.handed_in ? 'true' : null });
    say(hand, text(by_hand ? 'record.hand.stop' : 'record.hand'));
    cancel.hidden = bar.hidden = !progress;
    if (progress) {
      const left = progress.done > 5 ? (progress.elapsed_ms / progress.done) * (progress.all - progress.done) : null;
      bar.value = progress.all ? progress.done / progress.all : 0;
      const facts = { done: progress.done, all: progress.all || '…' };
      say(words, left !== null && left < 1000 ? text('record.almost', facts)
        : text('record.under_way', { ...facts, left: left === null ? '…' : clock(left + 999) }));
    } else if (by_hand) say(words, text('record.hand.words'));
    else if (!recording.any) say(words, '');
    if (progress && done.hidden && recording.any) inSight();
    done.hidden = !recording.any;
    sizing.element.hidden = !recording.any;
    list.replaceChildren(...(recording.about?.passes ?? []).map((pass, i) => html('li', {}, passWords(pass, i))));
    kept.hidden = recording.kept === null;
    say(kept, text(recording.kept ? 'record.kept' : 'record.not_kept', { mb: number((recording.about?.bytes ?? 0) / 1e6) }));
    sizing.update();
  }

  recording.addEventListener('change', () => element.checkVisibility() && update());
  return { element, update, measuredEnds: sizing.measuredEnds, tip: sizing.tip };
}

/** Missing lines as stretches of the tape, the first few. */
function stretches(missing, start_mm, step_mm) {
  const found = [];
  for (const line of missing) {
    if (found.at(-1)?.[1] === line - 1) found.at(-1)[1] = line;
    else found.push([line, line]);
  }
  const mm = (line) => length(start_mm + line * step_mm, step_mm % 1 ? 1 : 0);
  const words = found.slice(0, 4).map(([a, b]) => (a === b ? mm(a) : `${mm(a)}–${mm(b)}`)).join(', ');
  return found.length > 4 ? `${words} …` : words;
}
