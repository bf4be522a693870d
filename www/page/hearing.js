// The echoes to be heard: the one in the gate as a tone that follows it, and the whole trace once. For whoever does not see it.
import { html } from './element.js';
import { button } from './fields.js';
import { explain } from './explain.js';
import { pathToFace } from './geometry.js';
import { prefer, preferred } from './preference.js';
import { text } from './text.js';
import { gateTone, sweepInto } from './trace-sound.js';

const CHOICE = 'hear';

export function hearingView(session) {
  let [room, tone, until_s] = [null, null, 0];
  let on = preferred(CHOICE) === 'on';
  const input = html('input', { type: 'checkbox', onchange: () => {
    on = input.checked;
    prefer(CHOICE, on ? 'on' : 'off');
    if (on) begin();
    follow();
  } });
  input.checked = on;
  explain(input, 'hear.tone');
  const once = button({ label: 'hear.sweep', key: 'T', press: () => sweep() });
  const element = html('fieldset', { class: 'hearing' }, html('legend', {}, text('hear.title')),
    html('label', { class: 'check' }, input, html('span', {}, text('hear.tone'))), once,
    html('p', { class: 'quiet' }, text('hear.words')));

  /** Browsers let a page sound only after a click or a key. */
  function begin() {
    room ??= new AudioContext();
    tone ??= gateTone(room);
    if (room.state === 'suspended') room.resume();
  }
  if (on) for (const touch of ['keydown', 'pointerdown']) addEventListener(touch, () => on && begin(), { once: true });

  function follow() {
    if (!tone || (on && room.currentTime < until_s)) return;
    const reading = on && document.body.dataset.place === 'bench' ? session.frame?.reading ?? null : null;
    tone.sound(reading?.amplitude_percent ?? null, reading !== null && reading.amplitude_db >= session.about.procedure.recording_level_db);
  }

  function sweep() {
    if (!session.frame) return;
    begin();
    // One at a time, and nothing beside it.
    if (room.currentTime < until_s) return;
    tone.sound(null, false);
    const { procedure, thickness_mm, beams, block } = session.about;
    const { range_mm } = procedure;
    const faces_mm = [];
    for (let n = 1; !block && pathToFace(beams[session.beam], thickness_mm, n) < range_mm; n++) {
      faces_mm.push(pathToFace(beams[session.beam], thickness_mm, n));
    }
    const { buffer, step_mm } = session.frame.trace;
    until_s = sweepInto(room, { trace: { percent: new Float32Array(buffer), step_mm, range_mm }, gate: session.gate, faces_mm }, room.currentTime + 0.05);
  }

  session.addEventListener('frame', follow);
  return { element, sweep };
}
