// Choices that the browser keeps: language, units. The address may bring one (?lang=es), for links and for frames without storage.

/** What was chosen under a name, in the address or earlier; null where nothing was. */
export function preferred(name) {
  const asked = new URLSearchParams(location.search).get(name);
  if (asked) return asked;
  try {
    return localStorage.getItem(`trialplate-${name}`);
  } catch {
    return null;
  }
}

/** Keeps a choice and loads the page anew at the same place: every word and number on it may change. */
export function anew(name, value) {
  const there = new URL(location.href);
  there.searchParams.delete(name);
  if (!prefer(name, value)) there.searchParams.set(name, value);
  if (there.href === location.href) location.reload();
  else location.replace(there);
}

/** Keeps a choice; tells whether the browser does. */
export function prefer(name, value) {
  try {
    localStorage.setItem(`trialplate-${name}`, value);
    return localStorage.getItem(`trialplate-${name}`) === value;
  } catch {
    return false;
  }
}
