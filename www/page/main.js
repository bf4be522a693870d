// Starts the page: the worker, the places, the address, the keeping of attempts.
import { ASK, TO_PAGE } from '../shared/messages.js';
import { Attempts } from './attempts.js';
import { benchView } from './bench.js';
import { debriefView } from './debrief.js';
import { show } from './dialog.js';
import { html, say } from './element.js';
import { clear, fail, reasonOf } from './failure.js';
import { calmUntilComplete } from './hand-in.js';
import { keepFocus } from './focus.js';
import { flawBenchView } from './flaw-bench.js';
import { keptNotice } from './kept-notice.js';
import { lessonsView } from './lessons.js';
import { Link, REFUSED } from './link.js';
import { Recording } from './recording.js';
import { keptToReload, opened } from './seal.js';
import { makeView } from './make.js';
import { isPlateAddress, plateOf } from './make-link.js';
import { modelLink } from './model-link.js';
import { Offline } from './offline.js';
import { openingNotice } from './opening.js';
import { Session } from './session.js';
import { startView } from './start.js';
import { markingDeskView } from './marking-desk.js';
import { plateDeskView } from './plate-desk.js';
import { progressView } from './progress.js';
import { examOpening, recordedExamView } from './recorded-exam.js';
import { recall } from './store.js';
import { fillTexts, text } from './text.js';
import { sayTime } from './timer.js';
import { titleNamed } from './told.js';
import { asked } from './yard.js';

/** A second stop within this time is not answered by another restart, ms. */
const RESTART_PAUSE_MS = 15_000;

const byId = (id) => document.getElementById(id);
const link = new Link();
const session = new Session(link);
const recording = new Recording(link, session);
const keeping = keptNotice(byId('keeping'), { session, attempts: () => attempts, open: (attempt) => open(attempt) });
const attempts = new Attempts(session, keeping);
const opening = openingNotice(link, byId('loading'));
const offline = new Offline({ keep: () => attempts.keep(), place: byId('newer') });
const go = (address) => (location.hash === address ? visit() : location.assign(address));
const openExam = examOpening({ link, session, recording, fresh: (source) => attempts.fresh(source), open: (attempt) => open(attempt), enter: () => enter('recorded') });
const views = {
  start: startView({ go, open: (source) => open(attempts.fresh(source)), resume: (record) => open(record), keep: () => keptToReload(session, attempts), exam: openExam }),
  bench: benchView(session, recording, { link, handedIn: () => go(address('debrief')), keep: () => keptToReload(session, attempts) }),
  recorded: recordedExamView(session, recording, { open: openExam, handedIn: () => go(address('debrief')) }),
  desk: plateDeskView(link, { open: (source) => open(attempts.fresh(source)) }),
  flaw: flawBenchView(link, { take: (words) => (views.make.take(words), go('#make')) }),
  make: makeView(link, { open: (source) => open(attempts.fresh(source)) }),
  mark: markingDeskView(link),
  progress: progressView(link, { go, resume: (record) => open(record) }),
  lessons: lessonsView(link, { go }),
  debrief: debriefView(session, { go, again: () => open(attempts.fresh(session.source)),
    // What the debrief sends one to look at is live.
    look: () => (views.bench.live(), go(address('bench'))) }),
};
const address = (place) => `#${place}?${attempts.address()}`;
let stopped_at = -Infinity;

fillTexts(document);
for (const [name, view] of Object.entries(views)) {
  view.element.hidden = true;
  byId('places').append(view.element);
  view.element.dataset.name = name;
}
byId('skeleton').remove();
byId('hand-in').addEventListener('click', () => views[document.body.dataset.place].actions.handIn());
calmUntilComplete(byId('hand-in'), session);
byId('to-marks').addEventListener('click', () => go(address('debrief')));
byId('help').addEventListener('click', () => views.bench.actions.help());
byId('caution').addEventListener('click', () => show({ title: text('caution.title'),
  content: [html('p', {}, text('caution.long')), html('p', {}, text('caution.more')),
    html('p', {}, modelLink())], buttons: [{ label: 'dialog.close', value: null }] }));

link.addEventListener(TO_PAGE.STOPPED, ({ detail }) => restart(detail));
link.addEventListener(TO_PAGE.WRONG_BITS, () => fail({ title: text('fail.wrong_bits'), words: text('fail.wrong_bits.words'), lasts: true }));
link.addEventListener(TO_PAGE.READY, ({ detail }) => {
  say(byId('version'), detail.version);
  // Only now: the first picture should not wait for files that are wanted some other day.
  setTimeout(() => offline.begin(() => say(byId('offline'), text('offline.ready'))), 1500);
});
// A question whose answer was a refusal, wherever it was asked.
addEventListener('unhandledrejection', (event) => {
  if (event.reason?.name !== REFUSED) return;
  event.preventDefault();
  told(event.reason);
});
// Only now that all listen: the worker may have been ready before this script came.
link.start();

/** Goes where the address says. */
async function visit() {
  if (isPlateAddress(location.hash)) return shared(location.hash);
  const [place, query = ''] = location.hash.slice(1).split('?');
  const wanted = new URLSearchParams(query);
  if (['bench', 'debrief', 'recorded'].includes(place)) {
    const attempt = wanted.get('attempt');
    if (session.open && attempt === session.id) return enter(session.handed_in ? place : 'bench');
    const record = attempt ? await recall(attempt) : null;
    const source = record?.source ?? asked(wanted);
    if (source) return open(record ?? attempts.fresh(source));
    if (session.open && !session.handed_in && (place !== 'recorded' || session.about.recorded)) return enter('bench');
  }
  enter(['desk', 'flaw', 'lessons', 'make', 'mark', 'progress', 'recorded'].includes(place) ? place : 'start');
}
addEventListener('hashchange', visit);
visit();
keepFocus();

/** A whole plate in the address, from whoever made it. */
async function shared(hash) {
  const bytes = await plateOf(hash);
  if (bytes) return open(attempts.fresh({ kind: 'file', name: 'shared-plate.toml', bytes }));
  enter('start');
  fail({ title: text('fail.title'), words: text('make.link.bad') });
}

/** Opens an attempt; when that fails the session that is open stays open. */
async function open(attempt) {
  const ended = opening();
  try {
    if (session.open) await attempts.keep();
    if (!await opened(link, await keeping.newest(attempt), (ready) => session.start(ready))) return enter('start');
    clear();
    const place = session.handed_in ? 'debrief' : session.about.recorded ? 'recorded' : 'bench';
    history.replaceState(null, '', address(place));
    enter(place);
  } catch (error) {
    if (error.reason === 'overtaken') return;
    enter(session.open && document.body.dataset.place !== 'start' ? document.body.dataset.place : 'start');
    if (document.body.dataset.place !== 'start') history.replaceState(null, '', address(document.body.dataset.place));
    told(error);
  } finally {
    ended();
  }
}

function told(error) {
  if (error.message === 'restarted') return;
  fail({ title: text('fail.title'), words: [reasonOf(error), session.open ? `\n${text('fail.kept')}` : ''].flat(),
    actions: session.open && document.body.dataset.place === 'start' ? [{ label: 'fail.to_bench', press: () => go(address('bench')) }] : [] });
}

async function restart({ message, reason }) {
  const again = performance.now() - stopped_at < RESTART_PAUSE_MS;
  stopped_at = performance.now();
  const was = session.open ? attempts.last : null;
  const details = `Trialplate ${byId('version').textContent}\n${reason}: ${message}`;
  if (reason !== 'fail.stopped' || again) {
    fail({ title: text('fail.title'), words: text(reason, { what: message }), details,
      actions: [{ label: 'fail.reload', press: () => location.reload() }] });
    return;
  }
  link.start();
  if (was) await open(was);
  fail({ title: text('fail.restarted'), words: text('fail.restarted.words'), details });
}

function enter(place) {
  // Nobody scans in a recorded exam.
  if (place === 'bench' && session.about?.recorded) place = 'recorded';
  const working = place === 'bench' || (place === 'recorded' && session.open && session.about.recorded);
  const changed = document.body.dataset.place !== place;
  if (changed) {
    document.querySelector('dialog.drawer')?.close();
    clear();
  }
  document.body.dataset.place = place;
  for (const [name, view] of Object.entries(views)) view.element.hidden = name !== place;
  views[place].update();
  offline.at(place);
  byId('hand-in').hidden = !working || Boolean(session.handed_in) || session.about.block || session.lesson?.hands_in === false;
  byId('to-marks').hidden = !working || !session.handed_in;
  byId('timer').hidden = !working || Boolean(session.handed_in) || session.about.block || Boolean(session.lesson);
  if (working) tick();
  const plate = working || place === 'debrief' ? session.about : null;
  say(byId('plate-name'), plate ? session.lesson?.words.title ?? titleNamed(plate.title) : '');
  document.title = plate ? text('title.place', { what: plate.id }) : text('title');
  if (changed) {
    scrollTo(0, 0);
    views[place].element.querySelector('h1').focus({ preventScroll: true });
    views[place].back?.();
  }
}

/** The clock stands in the bench's head until hand-in. */
function tick() {
  if (byId('timer').hidden || !session.open) return;
  sayTime(byId('timer'), session.left_ms);
}
setInterval(tick, 500);

// For checks of one's own: what a frame costs here.
globalThis.trialplate = { times: () => session.frame?.times_ms, points: () => session.frame?.points, digest: () => link.ask(ASK.DIGEST) };
