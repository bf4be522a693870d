// Whoever works by keyboard keeps a place: where what had the focus is gone, hidden or switched off, what is left nearest takes it.

/** No event tells it in every browser. */
const EVERY_MS = 150;
const REACHED = 'a[href], button, input, select, textarea, summary, [tabindex]';

const there = (element) => element?.isConnected && element.checkVisibility() && !element.matches(':disabled');
const typed = (element) => element.matches('input, select, textarea');

export function keepFocus() {
  let by_keys = false;
  let way = [];
  addEventListener('keydown', () => { by_keys = true; }, true);
  addEventListener('pointerdown', () => { by_keys = false; }, true);
  addEventListener('focusin', ({ target }) => { way = upFrom(target); });
  setInterval(() => {
    const now = document.activeElement;
    // Somebody has it, or it was let go on purpose.
    if (!by_keys || (now !== document.body && there(now)) || there(way[0])) return;
    nearest(way)?.focus();
  }, EVERY_MS);
}

function upFrom(element) {
  const way = [];
  for (let one = element; one && one !== document.body; one = one.parentElement) way.push(one);
  return way;
}

/** The first thing to press beside what was lost, so that keys go on acting; a field where there is none; else the head of the place. */
function nearest(way) {
  for (const room of way.slice(1)) {
    if (room.id === 'places' || room.parentElement?.id === 'places') break;
    if (!there(room)) continue;
    const left = [...room.querySelectorAll(REACHED)].filter((one) => one.tabIndex >= 0 && there(one));
    if (left.length) return left.find((one) => !typed(one)) ?? left[0];
  }
  return document.querySelector('#places > :not([hidden]) h1');
}
