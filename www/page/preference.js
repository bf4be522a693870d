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

/** Keeps a choice; tells whether the browser does. */
export function prefer(name, value) {
  try {
    localStorage.setItem(`trialplate-${name}`, value);
    return localStorage.getItem(`trialplate-${name}`) === value;
  } catch {
    return false;
  }
}
