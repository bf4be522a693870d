// The keyboard at the bench, from one table that the help shows too.
import { html } from './element.js';
import { text } from './text.js';
import { stepLength } from './units.js';

/** [keys shown, text key of what they do, whether it is a bare letter that can be switched off]. */
export const KEYS = [
  ['← →', 'keys.along', false],
  ['↑ ↓', 'keys.across', false],
  ['Shift', 'keys.coarse', false],
  ['Alt', 'keys.fine', false],
  ['S', 'keys.side', true],
  ['G / Shift G', 'keys.gain', true],
  ['B / Shift B', 'keys.beam', true],
  ['R / Shift R', 'keys.skew', true],
  ['N', 'keys.next', true],
  ['E', 'keys.highest', true],
  [', .', 'keys.gate', true],
  ['C', 'keys.call', true],
  ['[ ]', 'keys.ends', true],
  ['< >', 'keys.tips', true],
  ['F', 'keys.fold', true],
  ['V', 'keys.shown', true],
  ['M', 'keys.memory', true],
  ['T', 'keys.hear', true],
  ['L', 'keys.leg', true],
  ['W', 'keys.wet', true],
  ['U', 'keys.lift', true],
  ['1 2 …', 'keys.panel', true],
  ['Ctrl Z / Ctrl Y', 'keys.undo', false],
  ['Esc', 'keys.leave', false],
  ['?', 'keys.help', true],
];

const PREFERENCE = 'trialplate-letters';

const STEPS = { step_mm: stepLength(1), coarse_mm: stepLength(10), fine_mm: stepLength(0.1), gate_mm: stepLength(0.5) };

/** Whether letters act; kept where the browser allows it. */
export const letters = {
  get on() {
    try {
      return localStorage.getItem(PREFERENCE) !== 'off';
    } catch {
      return this.kept ?? true;
    }
  },
  set on(value) {
    this.kept = value;
    try {
      localStorage.setItem(PREFERENCE, value ? 'on' : 'off');
    } catch {
      // A frame without storage: the choice holds for this visit.
    }
  },
};

export function listen(session, actions) {
  addEventListener('keydown', (event) => {
    const { place } = document.body.dataset;
    // Nobody moves a probe in a recorded exam; its sheet is one all the same.
    const exam = place === 'recorded' && session.about?.recorded;
    if (!session.open || (place !== 'bench' && !exam)) return;
    if (document.querySelector('dialog:modal') || event.isComposing) return;
    if (event.ctrlKey || event.metaKey) return sheetKey(session, event);
    if (exam) return;
    if (event.key === 'Escape') return event.target.closest?.('dialog') || actions.toProbe();
    const typing = event.target.closest?.('input, select, textarea');
    if (typing && !(['checkbox', 'button'].includes(typing.type) || free(typing, event.key))) return;
    if (arrow(session, event) || (letters.on && !event.altKey && letter(session, actions, event))) event.preventDefault();
  });
}

/** Whether a field wants no more of a key: its number was entered, and this would not begin another. */
const free = (field, key) => 'entered' in field.dataset && !/^([\d.,+-]|ArrowUp|ArrowDown|Backspace|Delete)$/.test(key);

/** Control (or Command) Z and Y on the answer sheet; in a field they are the field's own. */
function sheetKey(session, event) {
  const key = event.key.toLowerCase();
  if (!['z', 'y'].includes(key) || event.altKey || event.target.closest?.('input:not([type=checkbox], [type=radio]), textarea')) return;
  event.preventDefault();
  if (key === 'y' || event.shiftKey) session.redo();
  else session.undo();
}

function arrow(session, event) {
  const turns = event.altKey ? 0.1 : event.shiftKey ? 10 : 1;
  const step = stepLength(turns);
  // Focus on the gate of the trace: arrows move the gate.
  const held = event.target.closest?.('.trace-gate');
  if (held) {
    const second = held.dataset.gate === '1';
    const { start_mm, threshold_percent } = second ? session.second_gate : session.gate;
    const gate = { ArrowLeft: { start_mm: start_mm - step }, ArrowRight: { start_mm: start_mm + step },
      ArrowUp: { threshold_percent: threshold_percent + 1 }, ArrowDown: { threshold_percent: threshold_percent - 1 } }[event.key];
    if (gate) session.adjust(second ? { second_gate: { ...session.second_gate, ...gate } } : { gate });
    return Boolean(gate);
  }
  if (event.target.closest?.('.skew-handle')) {
    const turn = { ArrowLeft: -turns, ArrowRight: turns, ArrowDown: -turns, ArrowUp: turns }[event.key];
    if (turn) session.move({ skew_deg: session.pose.skew_deg + turn });
    return Boolean(turn);
  }
  const { y_mm, index_offset_mm, side } = session.pose;
  if (session.about.block) {
    // A block is seen from the side: right on the screen is right on the block.
    const right = side === 'A' ? -step : step;
    const move = { ArrowLeft: { index_offset_mm: index_offset_mm - right }, ArrowRight: { index_offset_mm: index_offset_mm + right },
      ArrowUp: { y_mm: y_mm + step }, ArrowDown: { y_mm: y_mm - step } }[event.key];
    if (move) session.move(move);
    return Boolean(move);
  }
  // Up the screen is towards side B: from side A that is towards the weld.
  const away = side === 'A' ? step : -step;
  const move = { ArrowLeft: { y_mm: y_mm - step }, ArrowRight: { y_mm: y_mm + step },
    ArrowUp: { index_offset_mm: index_offset_mm - away }, ArrowDown: { index_offset_mm: index_offset_mm + away } }[event.key];
  if (move) session.move(move);
  return Boolean(move);
}

function letter(session, actions, event) {
  const sign = event.shiftKey ? -1 : 1;
  const acts = {
    s: () => session.move({ side: session.pose.side === 'A' ? 'B' : 'A' }),
    g: () => session.adjust({ gain_db: session.gain_db + sign }),
    r: () => session.move({ skew_deg: session.pose.skew_deg + sign }),
    b: () => session.adjust({ beam: session.beam + sign }),
    n: actions.nextEcho,
    e: actions.highestEcho,
    ',': () => session.adjust({ gate: { start_mm: session.gate.start_mm - stepLength(0.5) } }),
    '.': () => session.adjust({ gate: { start_mm: session.gate.start_mm + stepLength(0.5) } }),
    c: actions.call,
    '[': () => actions.end('start_mm'),
    ']': () => actions.end('end_mm'),
    w: actions.wet,
    u: () => session.adjust({ lifted: !session.lifted }),
    f: () => session.adjust({ view: session.view === 'folded' ? 'unfolded' : 'folded' }),
    l: () => session.adjust({ leg: session.leg === null ? 1 : session.leg === 3 ? null : session.leg + 1 }),
    m: actions.clearMemory,
    t: actions.hear,
    v: actions.shown,
    '?': actions.help,
  };
  const key = event.key.toLowerCase();
  const act = actions.instead(key, event.shiftKey) || acts[key] || (/^[1-9]$/.test(event.key) && (() => actions.panel(Number(event.key))));
  if (act) act();
  return Boolean(act);
}

/** The list under ?. */
export function keyTable() {
  const on = html('input', { type: 'checkbox', onchange: () => { letters.on = on.checked; } });
  on.checked = letters.on;
  return html('div', {},
    html('table', { class: 'keys' }, html('tbody', {}, KEYS.map(([keys, what]) => html('tr', {},
      html('th', { scope: 'row' }, keys.split(' / ').map((key) => html('kbd', {}, key))), html('td', {}, text(what, STEPS)))))),
    html('label', { class: 'check' }, on, html('span', {}, text('keys.letters'))));
}
