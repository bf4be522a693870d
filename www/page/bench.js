// The bench: plate, section and trace at the left, readings, hands and answer sheet at the right.
import { calibrationView } from './calibration.js';
import { HUMANE_MS, coachView } from './coach.js';
import { wetThePlate } from './contact.js';
import { show } from './dialog.js';
import { dockView } from './dock.js';
import { html, say, set } from './element.js';
import { handIn } from './hand-in.js';
import { setEnd } from './call-ends.js';
import { handsView } from './hands.js';
import { hearingView } from './hearing.js';
import { helpFor } from './help.js';
import { listen } from './keys.js';
import { atCursor, atProbe, callAt } from './meant.js';
import { memoryView } from './memory.js';
import { panelsView } from './panels.js';
import { planView } from './plan.js';
import { showProcedure } from './procedure.js';
import { recordedView } from './recorded-view.js';
import { recordingPanel } from './recording-panel.js';
import { readingsView, readingSentence } from './readings.js';
import { replayView } from './replay.js';
import { sectionView } from './section.js';
import { setUpView } from './set-up.js';
import { sheetView } from './sheet.js';
import { shownSwitch } from './shown-switch.js';
import { text } from './text.js';
import { toast } from './toast.js';
import { traceView } from './trace.js';

const ECHO_LIMIT = 24;
/** Echoes down to this part of the recording level are worth the gate. */
const MARGIN = 0.8;
/** Closer to the probe than this lies its own noise, mm of sound path. */
const NEAREST_MM = 12;
/** Legs that can be shown alone. */
const LEGS = 3;

export function benchView(session, recording, { handedIn, link, keep }) {
  const live = html('p', { class: 'unseen', role: 'status', 'aria-live': 'polite' });
  const { element: notes, notice } = toast();
  const actions = {
    nextEcho: () => echo((echoes) => echoes[(echoes.findIndex(onGate) + 1) % echoes.length]),
    highestEcho: () => echo((echoes) => echoes[0]),
    call: async () => {
      const place = meant();
      const index = await callAt(session, place, notice);
      if (index === null) return;
      panels.show('sheet');
      // Its ends are looked for next: the keys stay with the probe.
      sheet.open(index, { focus: place.sized });
    },
    end: (name) => setEnd(session, name, meant().y_mm(), notice),
    wet: () => wetThePlate(session).catch(() => notice(text('coach.handed_in'))),
    panel: (n) => panels.choose(n),
    toProbe: () => plan.focus(),
    shown: () => shown.other() === 'recorded' && recorded.focus(),
    clearMemory: () => memory.clear(),
    hear: () => hearing.sweep(),
    help: helpFor(session, keep),
    procedure: () => showProcedure(session),
    handIn: () => handIn(session, { notice, handedIn }),
    /** What a key does to what is shown in place of the live pictures. */
    instead: (key, shift) => shown.now === 'recorded' && recorded.key(key, shift),
  };

  async function echo(choose) {
    // A little below the recording level, but nothing that the gate would not read; only on the legs shown, and not in
    // the noise close under the wedge.
    const height = session.recordingPercent() * MARGIN;
    const found = await session.echoes(Math.min(80, Math.max(session.gate.threshold_percent, height)), ECHO_LIMIT);
    const echoes = found.filter(({ leg, sound_path_mm }) => sound_path_mm >= NEAREST_MM && (session.leg ?? leg) === leg && leg <= LEGS);
    if (echoes.length === 0) notice(text('notice.no_echo'));
    else session.gateOn(choose(echoes));
  }
  const onGate = ({ beam, sound_path_mm }) => beam === session.beam &&
    Math.abs(sound_path_mm - session.gate.start_mm - session.gate.length_mm / 2) < 1;

  let drawing = false;
  const draw = () => {
    drawing = false;
    if (!session.open || element.hidden) return;
    // Sizes are asked for before anything is drawn: asked between, each makes the browser lay out the page once more.
    for (const view of drawings) view.measure();
    for (const view of views) view.update();
  };
  const later = () => {
    if (!drawing) requestAnimationFrame(draw);
    drawing = true;
  };
  const meant = () => places[shown.now];
  const hearing = hearingView(session);
  const coach = coachView(session, () => actions.procedure(), link, () => shown.now === 'recorded');
  const [plan, section, trace] = [planView(session), sectionView(session, notice), traceView(session)];
  const drawings = [plan, section, trace];
  const reading = readingsView(session, actions, meant);
  const sheet = sheetView(session, { notice, at: meant }, leaveCall, () => dock.room);
  const recorded = recordedView(recording, session, { call: actions.call, end: actions.end, tell: notice, live: 'bfmnt',
    tip: (i) => {
      panels.show('recording');
      recordings.tip(i);
    } });
  const memory = memoryView(session, () => sheet.editing);
  trace.element.classList.add('with-memory');
  trace.element.append(memory.element);
  const shown = shownSwitch(session, recording, plan.element, { live: [section, trace], recorded: [recorded] }, later);
  const recordings = recordingPanel(session, recording, { notice, show: shown.show, editing: () => sheet.editing, look: () => {
    shown.show('recorded');
    recorded.focus();
  } });
  const places = { live: atProbe(session), recorded: atCursor(recording, recordings) };
  const panels = panelsView(session, [['scan', handsView(session, hearing)], ['set-up', setUpView(session)],
    ['calibration', calibrationView(session)], ['recording', recordings], ['sheet', sheet]]);
  const dock = dockView(session, actions, meant);
  const replay = replayView(session, link);
  const views = [coach, replay, plan, section, trace, memory, reading, panels, dock];
  /** Where a call came from takes the focus when it is closed: of these, those that are not seen do not take it. */
  function leaveCall() {
    for (const view of [reading, dock, recorded]) view.focus();
  }
  session.addEventListener('sheet', () => panels.badge('sheet', String(session.sheet.calls.length || '')));
  session.addEventListener('open', () => set(element, { 'data-block': session.about.block }));
  session.addEventListener('open', () => panels.badge('sheet', String(session.sheet.calls.length || '')));
  const element = html('div', { class: 'bench' },
    html('h1', { class: 'unseen', tabindex: -1 }, text('bench.title')),
    coach.element, replay.element,
    html('div', { class: 'bench-plate' }, plan.element, section.element, trace.element, recorded.element),
    html('div', { class: 'bench-side' }, reading.element, panels.element),
    dock.element,
    live, notes);

  session.addEventListener('change', later);
  session.addEventListener('frame', later);
  recording.addEventListener('change', later);
  let speaking = 0;
  session.addEventListener('frame', () => {
    speaking ||= setTimeout(() => {
      speaking = 0;
      if (!element.hidden) say(live, readingSentence(session));
    }, HUMANE_MS);
  });
  const watch = new ResizeObserver((changes) => {
    for (const view of [...drawings, recorded]) if (changes.some(({ target }) => target === view.element)) view.resized();
  });
  for (const view of [...drawings, recorded]) watch.observe(view.element);
  listen(session, actions);
  return { element, update: later, actions, live: () => shown.show('live') };
}
