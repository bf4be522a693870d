// Labelled controls: a number with its unit, a slider with its number, a button.
import { html, say, set } from './element.js';
import { explain } from './explain.js';
import { number, text } from './text.js';

let count = 0;

/** A number field. `put(value)` gets finite numbers only; a bad entry is marked and put back on leaving. */
export function numberField({ label, unit, step, decimals = 1, min, max, put, optional = false }) {
  const id = `field-${++count}`;
  const input = html('input', { id, type: 'number', inputmode: 'decimal', step, min, max, autocomplete: 'off' });
  explain(input, label);
  let last = null;
  input.addEventListener('change', () => {
    const empty = input.value.trim() === '' && !input.validity.badInput;
    const value = empty && optional ? null : input.valueAsNumber;
    if (value !== null && !Number.isFinite(value)) return show(last);
    put(value);
  });
  input.addEventListener('keydown', (event) => event.key === 'Enter' && input.blur());
  input.addEventListener('blur', () => show(last));
  function show(value) {
    last = value;
    const words = value === null || value === undefined ? '' : value.toFixed(decimals);
    if (document.activeElement !== input && input.value !== words) input.value = words;
  }
  const element = html('div', { class: 'field' }, html('label', { for: id }, text(label)),
    html('span', { class: 'field-entry' }, input, unit ? html('span', { class: 'unit' }, text(unit)) : null));
  return { element, input, show, name: (key) => say(element.firstChild, text(key)), limits: (low, high) => set(input, { min: low, max: high }) };
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
