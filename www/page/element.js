// Makes HTML and SVG elements.

const SVG = 'http://www.w3.org/2000/svg';

/** An HTML element; `on…` properties become listeners, the rest attributes (false and null leave it out). */
export function html(tag, properties = {}, ...children) {
  return fill(document.createElement(tag), properties, children);
}

/** An SVG element. */
export function svg(tag, properties = {}, ...children) {
  return fill(document.createElementNS(SVG, tag), properties, children);
}

const given = new Map();

/** An id that no other element has: the name, from the second on with a number. */
export function ownId(name) {
  const count = (given.get(name) ?? 0) + 1;
  given.set(name, count);
  return count === 1 ? name : `${name}-${count}`;
}

/** Sets attributes of an element; false and null remove one. */
export function set(element, properties) {
  for (const [name, value] of Object.entries(properties)) {
    if (name.startsWith('on')) element.addEventListener(name.slice(2), value);
    else if (value === false || value === null || value === undefined) element.removeAttribute(name);
    else {
      const words = value === true ? '' : String(value);
      if (element.getAttribute(name) !== words) element.setAttribute(name, words);
    }
  }
  return element;
}

/** Sets text only when it changed, so that screen readers and layout are left in peace. */
export function say(element, words) {
  if (element.textContent !== words) element.textContent = words;
}

function fill(element, properties, children) {
  set(element, properties);
  element.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}
