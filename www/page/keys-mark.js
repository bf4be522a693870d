// A number that tells one list of keys from another.

/** Of the keys of a catalogue, in their order. */
export const keysMark = (keys) => [...keys.join(' ')].reduce((mark, letter) => (mark * 31 + letter.codePointAt(0)) | 0, 0);
