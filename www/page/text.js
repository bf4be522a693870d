// Texts by key, and numbers as people read them.
import { TEXTS } from './texts.en.js';

/** The text under a key, with {names} replaced by values. */
export function text(key, values = {}) {
  const words = TEXTS[key];
  if (words === undefined) return key;
  return words.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole));
}

/** A number with a fixed count of decimals and a true minus sign. */
export function number(value, decimals = 1) {
  const scale = 10 ** decimals;
  const rounded = Math.round(value * scale) / scale;
  const digits = Math.abs(rounded).toFixed(decimals);
  return rounded < 0 ? `−${digits}` : digits;
}

/** A number that always shows its sign. */
export function signed(value, decimals = 1) {
  const words = number(value, decimals);
  return words.startsWith('−') || Number(words) === 0 ? words : `+${words}`;
}

/** Minutes and seconds. */
export function clock(ms) {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
}

/** Fills every element that names its text in the page as delivered. */
export function fillTexts(root) {
  for (const element of root.querySelectorAll('[data-text]')) element.textContent = text(element.dataset.text);
  for (const element of root.querySelectorAll('[data-label]')) {
    element.setAttribute('aria-label', text(element.dataset.label));
  }
}
