// The calibration panel: one step at a time on a block, what was measured, what is left.
import { checkResult, checkSays, isWhole, keepBench } from './calibration-check.js';
import { contactView } from './contact.js';
import { html, say, set } from './element.js';
import { blockDrawing, residualChart } from './calibration-drawings.js';
import { button } from './fields.js';
import { number, text } from './text.js';

const STEPS = ['speed', 'wedge', 'angles', 'sensitivity', 'path-gain', 'encoder', 'check', 'recheck'];
/** Length of the tape for the encoder, mm. */
const ENCODER_MM = 500;
/** One slide over the whole way is cut into parts, so that the page stays live, mm. */
const PART_MM = 8;

/** What is drawn of a step: which residual, its unit, what is aimed at and how far off is still right. */
const CHART = {
  speed: ['path_mm', 'mm', 0, 0.5], wedge: ['path_mm', 'mm', 0, 0.5], angles: ['depth_mm', 'mm', 0, 0.5],
  sensitivity: ['height_percent', '%', 80, 4], 'path-gain': ['height_percent', '%', 80, 4], check: ['depth_mm', 'mm', 0, 0.5],
  recheck: ['height_percent', '%', 80, 30],
};

export function calibrationView(session) {
  const list = html('ol', { class: 'calibration-steps' });
  const state = html('p', { class: 'set-up-state', role: 'status' });
  const room = html('div', { class: 'calibration-room' });
  const contact = contactView(session);
  const element = html('section', { class: 'card calibration', 'aria-labelledby': 'calibration-title' },
    html('header', {}, html('h2', { id: 'calibration-title' }, text('calibration.title'))), state, room, list, contact.element);
  let of = null;
  let bench = null;
  let step = null;

  async function load() {
    of = session.serial;
    [bench, step] = [null, null];
    bench = keepBench(session, await session.calibrate('state'));
    room.replaceChildren();
    show();
  }

  function done(name) {
    if (name === 'recheck') return bench?.check;
    const made = bench?.calibration;
    if (!made) return false;
    return { speed: made.speed_mm_per_us, wedge: made.beams?.length, angles: made.angles_deg?.length, encoder: made.encoder_scale,
      sensitivity: made.sensitivity_db?.length, 'path-gain': made.path_gain?.length }[name];
  }

  function show() {
    if (bench.calibrated) say(state, text('calibration.ready'));
    else say(state, text(isWhole(bench) ? 'calibration.complete' : 'calibration.needed'));
    list.replaceChildren(...STEPS.map((name) => html('li', {},
      html('button', { type: 'button', 'aria-pressed': String(name === step), onclick: () => begin(name) },
        text(`calibration.step.${name}`), done(name) ? html('span', { class: 'quiet' }, ` ${text('calibration.done')}`) : null))));
    set(list, { hidden: bench.calibrated });
  }

  async function begin(name) {
    step = name;
    show();
    list.querySelector('[aria-pressed="true"]').focus();
    if (name === 'encoder') return encoder();
    say(state, text('calibration.working'));
    const about = await session.calibrate('begin', { step: name });
    if (step === name) onBlock(name, about);
  }

  /** The probe on a block, with a slider to slide it and what was found on the way. */
  function onBlock(name, about) {
    show();
    const drawing = blockDrawing(about);
    const chart = residualChart(about.angles_deg, ...CHART[name]);
    const [low, high] = about.way_mm;
    const found = html('p', { role: 'status' });
    const slider = html('input', { type: 'range', min: low, max: high, step: 1, value: low, 'aria-label': text('calibration.slider') });
    const recheck = name === 'recheck';
    const accept = button({ label: recheck ? 'calibration.note' : 'calibration.accept', class: 'main', press: recheck ? note : finish, disabled: true });
    const again = button({ label: 'calibration.again', press: () => begin(name) });
    const whole = button({ label: 'calibration.slide', press: slide });
    let at = null;
    let wanted = null;
    let busy = false;
    // Once accepted the block is put away: a slide still under way ends.
    let over = false;

    async function to(mm) {
      wanted = mm;
      if (busy) return;
      busy = true;
      try {
        while (wanted !== at && step === name && !over) {
          // A long way in parts: nothing between is left out, and the newest wish counts.
          const next = at === null ? low : at + Math.max(-PART_MM, Math.min(PART_MM, wanted - at));
          const measured = await session.calibrate('move', { index_offset_mm: next });
          at = next;
          tell(measured);
        }
      } finally {
        busy = false;
      }
    }

    /** To the end that is farther off. */
    function slide() {
      const end = at === null || at < (low + high) / 2 ? high : low;
      slider.value = String(end);
      return to(end);
    }

    function tell({ found: beams, beams: all, before, outcome, check }) {
      drawing.place(at);
      chart.show(before, outcome?.residuals ?? []);
      const enough = outcome || check;
      const list = beams.map((count) => `${count}/${all}`).join(', ');
      say(found, check ? checkSays(check) : text(name === 'check' ? 'calibration.checked' : enough ? 'calibration.enough' : 'calibration.more', { list }));
      accept.disabled = !enough;
      set(slider, { 'aria-valuetext': text('mm', { value_mm: at }) });
    }

    /** Writes the check down and says what follows from it. */
    async function note() {
      over = true;
      const told = await session.calibrate('check');
      bench = keepBench(session, await session.calibrate('state'));
      session.change();
      step = null;
      show();
      room.replaceChildren(checkResult(told));
      room.querySelector('[tabindex]').focus();
    }

    async function finish() {
      over = true;
      bench = keepBench(session, await session.calibrate('accept'));
      session.change();
      const next = STEPS[STEPS.indexOf(name) + 1];
      step = null;
      room.replaceChildren(html('p', {}, text('calibration.accepted', { step: text(`calibration.step.${name}`) })),
        button({ label: 'calibration.next', values: { step: text(`calibration.step.${next}`) }, class: 'main', press: () => begin(next) }));
      show();
      room.querySelector('button').focus();
    }

    slider.addEventListener('input', () => to(slider.valueAsNumber));
    room.replaceChildren(html('p', {}, text(`calibration.how.${name}`)), drawing.element, slider, whole, found, chart.element,
      html('div', { class: 'calibration-buttons' }, name === 'check' ? null : accept, again));
    slider.focus({ preventScroll: true });
    to(low);
  }

  async function encoder() {
    const counted = await session.calibrate('encoder', { way_mm: ENCODER_MM });
    const scale = bench.calibration?.encoder_scale ?? 1;
    const off = (value) => number((value / ENCODER_MM - 1) * 100, 2);
    const accept = button({ label: 'calibration.accept', class: 'main', press: async () => {
      bench = keepBench(session, await session.calibrate('encoder_accept', { way_mm: ENCODER_MM }));
      show();
      encoder();
    } });
    room.replaceChildren(html('p', {}, text('calibration.how.encoder')),
      html('p', { role: 'status' }, text('calibration.encoder', { counted_mm: counted * scale, off: off(counted * scale) })), accept);
  }

  return {
    element,
    update() {
      if (!session.open) return;
      if (of !== session.serial) load();
      contact.update();
    },
  };
}
