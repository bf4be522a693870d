// Stretches of equal values along the weld.

/** Neighbours of one value as [from, to, value]; nothing where the value is 0. */
export function stretches(values) {
  const found = [];
  values.forEach((value, i) => {
    const last = found.at(-1);
    if (last?.[1] === i && last[2] === value) last[1] = i + 1;
    else if (value > 0) found.push([i, i + 1, value]);
  });
  return found;
}
