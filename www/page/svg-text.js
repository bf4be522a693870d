// Drawings that come as text.

/** The drawing of a plate as an element; parsed as XML, nothing in it runs. */
export const drawn = (source) => document.importNode(new DOMParser().parseFromString(source, 'image/svg+xml').documentElement, true);
