// After handing in: the session once more, along a time line.
import { ASK } from '../shared/messages.js';
import { html, say, set } from './element.js';
import { button, selectField } from './fields.js';
import { clock, text } from './text.js';

const SPEEDS = ['1', '4', '16'];
/** Pause between two pictures while it plays, ms. */
const STEP_MS = 100;

export function replayView(session, link) {
  let t_ms = 0;
  let end_ms = 0;
  let playing = 0;
  let going = false;
  const line = html('input', { type: 'range', min: 0, step: 100, 'aria-label': text('replay.time'), oninput: () => to(line.valueAsNumber) });
  const words = html('p', { class: 'replay-words' });
  const play = button({ label: 'replay.play', press: () => (playing ? stop() : start()) });
  const speed = selectField({ label: 'replay.speed', options: SPEEDS.map((n) => [n, text('replay.times', { n })]), put: () => {} });
  speed.show('4');
  const truth = html('input', { type: 'checkbox', onchange: () => { session.truth = truth.checked; session.dispatchEvent(new Event('change')); } });
  const flaws = html('label', { class: 'check' }, truth, html('span', {}, text('truth.show')));
  const element = html('section', { class: 'card replay', 'aria-label': text('replay.title'), hidden: true },
    html('strong', {}, text('replay.title')), play, line, words, speed.element, flaws);

  function start() {
    if (t_ms >= end_ms) t_ms = 0;
    say(play, text('replay.pause'));
    playing = setInterval(() => {
      to(Math.min(end_ms, t_ms + STEP_MS * Number(speed.input.value)));
      if (t_ms >= end_ms) stop();
    }, STEP_MS);
  }

  function stop() {
    clearInterval(playing);
    playing = 0;
    say(play, text('replay.play'));
  }

  /** Goes to a time. While one is on its way only the latest of those asked for meanwhile is gone to next. */
  async function to(time_ms) {
    t_ms = time_ms;
    if (going) return;
    going = true;
    try {
      for (let gone = null; gone !== t_ms;) {
        gone = t_ms;
        await go(gone);
      }
    } finally {
      going = false;
    }
  }

  /** Another set-up takes half a second: its tables are made anew. */
  async function go(time_ms) {
    const then = await link.ask(ASK.REPLAY, { t_ms: time_ms });
    end_ms = then.end_ms;
    if (then.about) session.refit(then.about, session.beam);
    if (then.pose) session.move({ ...then.pose, rail: true });
    session.adjust({ gain_db: then.gain_db ?? session.gain_db, beam: then.beam ?? session.beam, gate: then.gate ?? {},
      second_gate: then.second_gate, gate_points: then.gate_points, rail: then.rail_mm !== null, lifted: then.lifted });
    show(then);
  }

  function show({ calls, set_ups }) {
    set(line, { max: end_ms, 'aria-valuetext': clock(t_ms) });
    line.value = String(t_ms);
    say(words, [text('replay.at', { time: clock(t_ms), end: clock(end_ms), calls }), set_ups ? text('replay.set_ups', { count: set_ups }) : ''].join(' '));
  }

  session.addEventListener('open', () => {
    stop();
    end_ms = 0;
  });

  return {
    element,
    update() {
      const shown = Boolean(session.handed_in) && !session.about.block;
      if (shown && end_ms === 0) {
        // The end of the session is asked for once; the probe stays where it is.
        end_ms = 1;
        link.ask(ASK.REPLAY, { t_ms: Number.MAX_SAFE_INTEGER }).then((then) => {
          end_ms = then.end_ms;
          t_ms = end_ms;
          show(then);
        });
      }
      element.hidden = !shown;
      flaws.hidden = !session.handed_in?.marks;
      truth.checked = Boolean(session.truth);
      if (!shown && playing) stop();
    },
  };
}
