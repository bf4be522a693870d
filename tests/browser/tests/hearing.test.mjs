// The echoes heard: off at first, by key and kept; pitch follows height; a whole trace is what its heights say.
import assert from 'node:assert/strict';
import { asWritten } from '../harness/as-written.mjs';
import { address, journey } from '../harness/journey.mjs';
import { choosePlate, openStart, press, reading, settled } from '../harness/person.mjs';

const PLATE = 'TH-07 · 20 mm, single V';

/** Counts what sounds in a page: rooms made, oscillators begun, and what each tone and loudness was last sent to. */
const EARS = () => {
  globalThis.ears = { rooms: 0, begun: 0, pitch: 0, loud: 0 };
  const { ears } = globalThis;
  globalThis.AudioContext = class extends globalThis.AudioContext {
    constructor(...given) {
      super(...given);
      ears.rooms += 1;
    }
  };
  const { start } = OscillatorNode.prototype;
  OscillatorNode.prototype.start = function begin(...given) {
    ears.begun += 1;
    this.frequency.tells = 'pitch';
    return start.apply(this, given);
  };
  const to = AudioParam.prototype.setTargetAtTime;
  let first = null;
  AudioParam.prototype.setTargetAtTime = function aim(value, ...rest) {
    if (this.tells === 'pitch') first ??= this;
    if (this === first) ears.pitch = value;
    else if (this.tells !== 'pitch' && value > 0) ears.loud += 1;
    return to.call(this, value, ...rest);
  };
};

journey('the echo in the gate is heard when asked for, an octave lower at half its height, and the choice is kept', async ({ page, picture }) => {
  await page.addInitScript(EARS);
  const ears = () => page.evaluate(() => ({ ...globalThis.ears }));
  await choosePlate(page, PLATE);
  await press(page, ...Array(11).fill('Shift+ArrowRight'), 'e');
  assert.deepEqual(await ears(), { rooms: 0, begun: 0, pitch: 0, loud: 0 }, 'silent until somebody wants it');
  const tone = page.getByRole('checkbox', { name: 'The echo in the gate as a tone' });
  assert.equal(await tone.isChecked(), false);
  assert.match(await tone.getAttribute('aria-description'), /an octave lower/);
  await tone.press('Space');
  await picture('hearing');
  await page.keyboard.press('Escape');
  while ((await reading(page)).percent > 90) await press(page, 'Shift+G');
  const [high, before] = [await reading(page), await ears()];
  assert.ok(Math.abs(before.pitch / 11 - high.percent) <= 1, `${before.pitch} Hz for ${high.percent} %`);
  await press(page, ...Array(6).fill('Shift+G'));
  const after = await ears();
  assert.ok(Math.abs(before.pitch / after.pitch - 10 ** (6 / 20)) < 0.01, `6 dB less: ${before.pitch} to ${after.pitch} Hz`);
  assert.equal(after.rooms, 1);
  // Nothing in the gate: nothing to be heard.
  await press(page, ...Array(40).fill('Shift+G'));
  assert.equal(await reading(page), null);
  const { loud } = await ears();
  await press(page, 'Shift+G');
  assert.equal((await ears()).loud, loud);

  // The choice is kept; sound comes with the first key, as browsers ask for.
  await page.reload();
  await page.getByRole('img', { name: /^Section .*with the sound picture/ }).waitFor();
  assert.equal(await tone.isChecked(), true);
  assert.equal((await ears()).rooms, 0);
  await press(page, 'g', 'g');
  assert.equal((await ears()).rooms, 1);
  // Switched off, it is silent again.
  await tone.press('Space');
  const silent = (await ears()).loud;
  await page.keyboard.press('Escape');
  await press(page, 'e', 'ArrowRight');
  assert.equal((await ears()).loud, silent);
});

journey('the trace is played once by key', async ({ page }) => {
  await page.addInitScript(EARS);
  await choosePlate(page, PLATE);
  await press(page, 'e', 't');
  const { rooms, begun } = await page.evaluate(() => globalThis.ears);
  assert.equal(rooms, 1);
  // Two notes of the trace, two of the gate, and a tick for each face that the beam meets.
  assert.ok(begun >= 5, `${begun} oscillators`);
  await press(page, 't');
  assert.equal((await page.evaluate(() => globalThis.ears)).begun, begun, 'one at a time');
  await page.getByRole('button', { name: 'Help', exact: true }).press('Enter');
  await page.getByRole('dialog').getByRole('radio', { name: 'Keys' }).check({ force: true });
  await page.getByRole('dialog').getByText('Play the trace once as tones').waitFor();
  await settled(page);
});

journey('a rendered sweep has the pitches, sides, ticks and silences of its trace', async ({ page }) => {
  await asWritten(page);
  await openStart(page);
  const found = await page.evaluate(async (home) => {
    const sound = await import(new URL('page/trace-sound.js', home));
    const [step_mm, range_mm] = [0.1, 100];
    // 40 % in the first fifth, silence, 80 % at 60 to 70 mm, silence.
    const percent = new Float32Array(1001).map((_, i) => (i < 200 ? 40 : i >= 600 && i < 700 ? 80 : 0));
    const render = async (gate, faces_mm) => {
      const room = new OfflineAudioContext(2, 44_100 * (sound.SWEEP_S + 0.1), 44_100);
      sound.sweepInto(room, { trace: { percent, step_mm, range_mm }, gate, faces_mm }, 0);
      const made = await room.startRendering();
      return [made.getChannelData(0), made.getChannelData(1)];
    };
    const part = (channel, from_mm, to_mm) => channel.slice(...[from_mm, to_mm].map((mm) => Math.round((mm / range_mm) * sound.SWEEP_S * 44_100)));
    const power = (samples) => Math.sqrt(samples.reduce((sum, one) => sum + one * one, 0) / samples.length);
    // Pitch by zero crossings upwards.
    const hertz = (samples) => samples.reduce((count, one, i) => count + (i > 0 && samples[i - 1] < 0 && one >= 0 ? 1 : 0), 0) / (samples.length / 44_100);
    /** How much of one frequency is in it. */
    const share = (samples, hz) => {
      const [c, s] = samples.reduce(([a, b], one, i) => [a + one * Math.cos((2 * Math.PI * hz * i) / 44_100), b + one * Math.sin((2 * Math.PI * hz * i) / 44_100)], [0, 0]);
      return (2 * Math.hypot(c, s)) / samples.length;
    };
    const away = { start_mm: 90, length_mm: 5, threshold_percent: 20 };
    const [left, right] = await render(away, []);
    const [withGate] = await render({ start_mm: 55, length_mm: 20, threshold_percent: 20 }, []);
    const [, deaf] = await render({ start_mm: 55, length_mm: 20, threshold_percent: 90 }, []);
    const [, ticked] = await render(away, [45]);
    return {
      low: hertz(part(left, 4, 18)), high: hertz(part(right, 61, 69)), silence: power(part(left, 25, 55)) + power(part(right, 25, 55)),
      leftEarly: power(part(left, 4, 18)), rightEarly: power(part(right, 4, 18)), leftLate: power(part(left, 61, 69)), rightLate: power(part(right, 61, 69)),
      second: share(part(withGate, 61, 69), 1320), alone: share(part(left, 61, 69), 1320), belowThreshold: share(part(deaf, 61, 69), 1320),
      tick: share(part(ticked, 45, 46), sound.TICK.hz), before: power(part(ticked, 40, 44.9)),
    };
  }, address);
  const near = (value, wanted, share) => assert.ok(Math.abs(value / wanted - 1) < share, `${value} Hz, wanted ${wanted}: ${JSON.stringify(found)}`);
  near(found.low, 440, 0.02);
  near(found.high, 880, 0.02);
  assert.ok(found.silence < 1e-4, JSON.stringify(found));
  assert.ok(found.leftEarly > 2 * found.rightEarly && found.rightLate > found.leftLate, `from left to right: ${JSON.stringify(found)}`);
  assert.ok(found.second > 10 * found.alone && found.second > 10 * found.belowThreshold, `a second note in the gate alone: ${JSON.stringify(found)}`);
  assert.ok(found.tick > 0.02 && found.before < 1e-4, `a tick at the face: ${JSON.stringify(found)}`);
});
