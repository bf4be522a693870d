// Peak memory of the gate: the highest echo at every place while the probe moves, along the weld and in and out.
import { SCAN } from '../shared/messages.js';
import { dropCurve } from './drop-curve.js';
import { html, set } from './element.js';
import { button } from './fields.js';
import { number, text } from './text.js';
import { heldLength } from './units.js';

const DROP_DB = 6;
/** Fewer places than this are no curve. */
const FEWEST = 3;

export function memoryView(session, editing) {
  const ways = [{ name: 'along', of: (pose) => pose.y_mm }, { name: 'across', of: (pose) => pose.index_offset_mm }]
    .map((way) => ({ ...way, heights: new Map(), curve: dropCurve(`memory.${way.name}`) }));
  const into = button({ label: 'memory.into', face: text('memory.into.face'), class: 'small', press: async () => {
    const index = editing();
    const ends = ways[0].curve.ends;
    if (index === null || !ends || session.handed_in) return;
    const [start_mm, end_mm] = ends.map(heldLength);
    await session.editCall(index, { ...session.sheet.calls[index], start_mm, end_mm });
  } });
  const clear = button({ label: 'memory.clear', key: 'M', class: 'small', press: () => forget() });
  const element = html('div', { class: 'memory', role: 'group', 'aria-label': text('memory.title') },
    html('header', {}, html('h3', { title: text('memory.words') }, text('memory.title')), html('span', { class: 'row' }, into, clear)),
    html('div', { class: 'memory-curves' }, ways.map(({ curve }) => curve.element)));
  let hold = '';
  for (const { curve } of ways) curve.wait();

  session.addEventListener('frame', () => {
    const { setup, reading } = session.frame;
    // In the air it is no silence of the plate.
    if (setup.lifted) return;
    const { pose } = setup;
    // With another gain, gate, beam or side the heights no longer belong together.
    const now = [setup.gain_db, setup.beam, ...Object.values(setup.gate), pose.side, pose.skew_deg, session.id].join();
    if (now !== hold) forget();
    hold = now;
    for (const { of, heights } of ways) {
      const place = of(pose);
      heights.set(place, Math.max(heights.get(place) ?? 0, reading?.amplitude_percent ?? 0));
    }
    later();
  });

  function forget() {
    for (const { heights, curve } of ways) {
      heights.clear();
      curve.wait();
    }
  }

  let waiting = false;
  function later() {
    if (waiting) return;
    waiting = true;
    setTimeout(async () => {
      waiting = false;
      await measure();
    }, 150);
  }

  async function measure() {
    for (const { heights, curve, of } of ways) {
      const places = [...heights.keys()].sort((a, b) => a - b);
      const percent = places.map((place) => heights.get(place));
      const enough = places.length >= FEWEST && percent.some((height) => height > 0);
      if (!enough) {
        curve.wait();
        continue;
      }
      curve.show(await session.scan(SCAN.DROP, { positions_mm: places, percent, drop_db: DROP_DB }), of(session.pose));
    }
    update();
  }

  function update() {
    const index = editing();
    set(into, { 'aria-disabled': index !== null && ways[0].curve.ends && !session.handed_in ? null : 'true',
      title: index === null ? text('sizing.no_target') : text('sizing.target', { n: number(index + 1, 0) }) });
  }

  return { element, update, clear: forget };
}
