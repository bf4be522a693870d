// Drawings that come as text.

/** The drawing as an element; parsed as XML, nothing in it runs. */
export function drawn(source) {
  const parsed = new DOMParser().parseFromString(source, 'image/svg+xml').documentElement;
  return document.importNode(parsed, true);
}
