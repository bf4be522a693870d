// Labelled controls: a number with its unit, a slider with its number, a button.
import { html, say, set } from './element.js';
import { explain } from './explain.js';
import { number, text } from './text.js';
import { keptLength, lengthDecimals, shownLength, stepLength, unit as lengthUnit } from './units.js';

let count = 0;

/** A number field. `put(value)` gets finite numbers only, lengths in mm; a bad entry is put back on leaving. A text field that
 * acts as a spin button: the browser's own takes the decimal mark of its language, not of the page's, and drops the other.
 * After Enter the field keeps the focus and follows its value again, and until something is typed the keys of the bench act. */
export function numberField({ label, unit, step, decimals = 1, min, max, put, optional = false }) {
  const id = `field-${++count}`;
  const length = unit === 'unit.mm';
  const [shown, kept] = length ? [shownLength, keptLength] : [(value) => value, (value) => value];
  const digits = length ? lengthDecimals(decimals) : decimals;
  const input = html('input', { id, type: 'text', role: 'spinbutton', inputmode: 'decimal', class: 'number', autocomplete: 'off' });
  explain(input, label);
  let last = null;
  input.addEventListener('change', () => {
    const value = input.value.trim() === '' && optional ? null : parsed(input.value);
    if (Number.isNaN(value)) return show(last);
    put(value === null ? null : kept(value));
  });
  input.addEventListener('keydown', (event) => {
    if (event.key === 'Enter') {
      input.blur();
      input.focus();
      input.select();
      input.dataset.entered = '';
    }
    const sign = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    if (!sign) return;
    event.preventDefault();
    const [low, high] = bounds;
    const typed = parsed(input.value);
    const before = Number.isNaN(typed) ? last ?? 0 : kept(typed);
    const next = Math.min(high ?? Infinity, Math.max(low ?? -Infinity, before + sign * (length ? stepLength(step) : step)));
    input.value = written(next);
    put(next);
  });
  const typing = () => delete input.dataset.entered;
  input.addEventListener('input', typing);
  input.addEventListener('blur', () => {
    typing();
    show(last);
  });
  const written = (value) => number(shown(value), digits).replace('−', '-');
  let bounds = [min, max];
  function show(value) {
    last = value;
    const words = value === null || value === undefined ? '' : written(value);
    set(input, { 'aria-valuenow': words === '' ? null : shown(value) });
    const entered = 'entered' in input.dataset;
    if ((document.activeElement === input && !entered) || input.value === words) return;
    input.value = words;
    if (entered) input.select();
  }
  function limits(low, high) {
    bounds = [low, high];
    const told = (value) => (value === undefined ? null : shown(value));
    set(input, { 'aria-valuemin': told(low), 'aria-valuemax': told(high) });
  }
  limits(min, max);
  const element = html('div', { class: 'field' }, html('label', { for: id }, text(label)),
    html('span', { class: 'field-entry' }, input, unit ? html('span', { class: 'unit' }, text(length ? `unit.${lengthUnit}` : unit)) : null));
  return { element, input, show, limits, name: (key) => say(element.firstChild, text(key)) };
}

/** A number as people type it, with a point or a comma; not a number for anything else. */
export function parsed(words) {
  const plain = words.trim().replace('−', '-').replace(',', '.');
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : NaN;
}

/** A slider with a number field beside it and two buttons for small steps. */
export function sliderField({ label, unit, step, nudge = step, decimals = 1, keys, put }) {
  const range = html('input', { type: 'range', step, 'aria-label': text(label) });
  const entry = numberField({ label, unit, step, decimals, put });
  explain(range, label);
  let now = 0;
  range.addEventListener('input', () => put(range.valueAsNumber));
  const less = button({ label: 'field.less', values: { what: text(label) }, face: '−', class: 'small', press: () => put(now - nudge) });
  const more = button({ label: 'field.more', values: { what: text(label) }, face: '+', class: 'small', press: () => put(now + nudge) });
  entry.element.classList.add('slider-field');
  const title = entry.element.firstChild;
  if (keys) title.append(' ', html('kbd', { 'aria-hidden': 'true' }, keys));
  entry.element.append(html('span', { class: 'slider-row' }, less, range, more));
  return {
    element: entry.element,
    show(value, low, high) {
      now = value;
      set(range, { min: low, max: high, 'aria-valuetext': `${number(value, decimals)} ${unit ? text(unit) : ''}` });
      entry.limits(low, high);
      range.value = String(value);
      entry.show(value);
    },
  };
}

/** A button; `face` shows something else than its accessible name. */
export function button({ label, values = {}, face = null, key = null, class: style = '', press, disabled = false }) {
  const words = text(label, values);
  const element = html('button', { type: 'button', class: style, onclick: press, disabled }, face ?? words);
  if (face) set(element, { 'aria-label': words, title: words });
  explain(element, label);
  if (key) {
    element.append(' ', html('kbd', { 'aria-hidden': 'true' }, key));
    set(element, { 'aria-keyshortcuts': key });
  }
  return element;
}

/** A select of [value, words]. */
export function selectField({ label, options, put }) {
  const id = `field-${++count}`;
  const input = html('select', { id, onchange: () => put(input.value) },
    options.map(([value, words]) => html('option', { value }, words)));
  explain(input, label);
  const element = html('div', { class: 'field' }, html('label', { for: id }, text(label)), input);
  return { element, input, show: (value) => { input.value = value; } };
}

/** A line of a list of readings. */
export function readout(label) {
  const value = html('dd', {});
  const name = html('dt', {}, text(label));
  const element = html('div', {}, name, value);
  return { element, show: (words) => say(value, words), name: (key) => say(name, text(key)) };
}
