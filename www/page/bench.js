// The bench: plate, section and trace at the left, readings, hands and answer sheet at the right.
import { calibrationView } from './calibration.js';
import { coachView } from './coach.js';
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
import { atProbe, sheetView } from './sheet.js';
import { shownSwitch } from './shown-switch.js';
import { peakPart } from './sizing-panel.js';
import { number, text } from './text.js';
import { toast } from './toast.js';
import { traceView } from './trace.js';
import { heldLength } from './units.js';

/** Pause between two announcements to screen readers, ms. */
const HUMANE_MS = 1500;
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
      if (session.handed_in) return notice(text('coach.handed_in'));
      const index = await session.callFromGate();
      if (index === null) notice(text('notice.empty_gate'));
      else {
        openCall(index, { focus: false });
        notice(text('notice.called', { n: index + 1 }));
      }
    },
    callByHand: async () => {
      const { y_mm, side } = session.pose;
      openCall(await session.addCall({ start_mm: y_mm, end_mm: y_mm, side }));
    },
    end: (name) => setEnd(session, name, session.pose.y_mm, notice),
    wet: () => wetThePlate(session).catch(() => notice(text('coach.handed_in'))),
    panel: (n) => panels.choose(n),
    toProbe: () => plan.focus(),
    shown: () => shown.other() === 'recorded' && recorded.focus(),
    clearMemory: () => memory.clear(),
    hear: () => hearing.sweep(),
    help: helpFor(session, keep),
    procedure: () => showProcedure(session),
    handIn: () => handIn(session, { notice, handedIn }),
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

  const hearing = hearingView(session);
  const coach = coachView(session, () => actions.procedure(), link);
  const [plan, section, trace] = [planView(session), sectionView(session, notice), traceView(session)];
  const reading = readingsView(session, actions);
  const sheet = sheetView(session, { ...actions, notice, at: atProbe(session) }, leaveCall, () => dock.room);
  const recorded = recordedView(recording, session, { call: callPlace, end: (name) => setEnd(session, name, heldLength(recording.cursor.y_mm), notice),
    tip: (i) => {
      panels.show('recording');
      recordings.tip(i);
    } });
  const memory = memoryView(session, () => sheet.editing);
  trace.element.classList.add('with-memory');
  trace.element.append(memory.element);
  const shown = shownSwitch(session, recording, plan.element, { live: [section, trace], recorded: [recorded] });
  const recordings = recordingPanel(session, recording, { notice, show: shown.show, editing: () => sheet.editing, look: () => {
    shown.show('recorded');
    recorded.focus();
  } });
  const panels = panelsView(session, [['scan', handsView(session, hearing)], ['set-up', setUpView(session)],
    ['calibration', calibrationView(session)], ['recording', recordings], ['sheet', sheet]]);
  const dock = dockView(session, actions);
  const replay = replayView(session, link);
  const views = [coach, replay, plan, section, trace, memory, reading, panels, dock];
  /** Where a call came from takes the focus when it is closed: of these, those that are not seen do not take it. */
  function leaveCall() {
    for (const view of [reading, dock, recorded]) view.focus();
  }
  /** A call begun at the cursor of the recorded scan, as long as the echo stands above half its height. */
  async function callPlace() {
    if (!recording.reading || session.handed_in) return;
    const [start_mm, end_mm] = recordings.ends() ?? [recording.cursor.y_mm, recording.cursor.y_mm];
    const index = await session.addCall({ start_mm, end_mm, ...peakPart(recording) });
    notice(text('recorded.called', { n: index + 1, from_mm: start_mm, to_mm: end_mm }));
    openCall(index);
  }
  const openCall = (index, how) => {
    panels.show('sheet');
    sheet.open(index, how);
  };
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

  let drawing = false;
  const draw = () => {
    drawing = false;
    if (session.open && !element.hidden) for (const view of views) view.update();
  };
  const later = () => {
    if (!drawing) requestAnimationFrame(draw);
    drawing = true;
  };
  session.addEventListener('change', later);
  session.addEventListener('frame', later);
  let speaking = 0;
  session.addEventListener('frame', () => {
    speaking ||= setTimeout(() => {
      speaking = 0;
      if (!element.hidden) say(live, readingSentence(session));
    }, HUMANE_MS);
  });
  new ResizeObserver(() => {
    for (const view of [plan, section, trace, recorded]) view.resized();
  }).observe(element);
  listen(session, actions);
  return { element, update: later, actions, live: () => shown.show('live') };
}
