// What a flaw shows from both sides, side by side: height, bar, where from, and why.
import { html, say, set } from './element.js';
import { highest } from './board-run.js';
import { sentence } from './said.js';
import { number, signed, text } from './text.js';

const [LOW_DB, TOP_DB] = [-40, 20];
const part = (db) => Math.min(1, Math.max(0, (db - LOW_DB) / (TOP_DB - LOW_DB)));

/** `update(laid, from_sides, beam)`: the beam from 0, or null for the best of all. */
export function boardSides() {
  const cards = new Map(['A', 'B'].map((side) => [side, sideCard(side)]));
  const difference = html('p', { class: 'board-difference', role: 'status' });
  const element = html('div', { class: 'board-sides' }, [...cards.values()].map((card) => card.element), difference);
  return {
    element,
    update(laid, from_sides, beam) {
      const { sides } = laid.procedure;
      for (const [side, card] of cards) {
        card.element.hidden = !sides.includes(side);
        card.update(laid, from_sides?.[sides.indexOf(side)] ?? null, beam);
      }
      const heights = (from_sides ?? []).map((one) => one && heightOf(one, beam));
      if (heights.length < 2 || heights.some((db) => db === null || db === undefined)) return say(difference, text('board.looking'));
      const [a, b] = heights;
      const lower = a < b ? sides[0] : sides[1];
      say(difference, Math.abs(a - b) < 1 ? text('board.same') : text('board.difference', { side: lower, db: number(Math.abs(a - b)) }));
    },
  };
}

/** Height from a side in dB: of the best echo, or the highest that one beam shows. */
const heightOf = (from_side, beam) => (beam === null ? highest(from_side)?.amplitude_db ?? LOW_DB : from_side.beams_db[beam]);

function sideCard(side) {
  const value = html('p', { class: 'board-db' });
  const bar = html('span', { class: `board-fill side-${side.toLowerCase()}` });
  const level = html('span', { class: 'board-level' });
  const judged = html('p', { class: 'quiet' });
  const from = html('p', {});
  const why = html('ul', { class: 'sentences' });
  const element = html('section', { class: 'board-side', 'aria-label': text('board.from', { side }) }, html('h3', {}, text('board.from', { side })), value,
    html('div', { class: 'board-bar', 'aria-hidden': 'true' }, bar, level), judged, from, why);
  return {
    element,
    update(laid, from_side, beam) {
      const recording = laid.procedure.recording_level_db;
      const best = highest(from_side);
      const db = from_side ? heightOf(from_side, beam) : null;
      element.classList.toggle('waiting', db === null);
      bar.style.width = `${100 * part(db ?? LOW_DB)}%`;
      level.style.left = `${100 * part(recording)}%`;
      if (db !== null) {
        const nothing = db <= LOW_DB + 0.05;
        say(value, nothing ? text('board.nothing', { db: signed(LOW_DB, 0) }) : text('board.db', { db: signed(db) }));
        say(judged, text(db >= recording ? 'board.recorded' : 'board.unrecorded', { level: signed(recording) }));
        say(from, nothing ? '' : beam === null
          ? text('board.by', { angle: number(best.angle_deg), leg: text(`leg.${best.leg}`), offset_mm: best.index_offset_mm })
          : text('board.by.beam', { angle: number(laid.beams[beam].angle_deg) }));
      } else say(value, '…');
      const { general, sides } = laid.flaws[0];
      const mine = [sides.find((one) => one.side === side)?.sentence, general].filter(Boolean).map(sentence);
      if (why.textContent !== mine.join('')) why.replaceChildren(...mine.map((sentence) => html('li', {}, sentence)));
      set(element, { 'data-db': db });
    },
  };
}
