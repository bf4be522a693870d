// Dragging with one pointer: a second finger on the same thing is not heard.

/** `start(event)` returns what `move(start, dx_px, dy_px)` gets; null refuses the drag. */
export function dragging(element, { start, move, end = () => {} }) {
  let held = null;
  element.addEventListener('pointerdown', (event) => {
    if (held || event.button !== 0) return;
    const state = start(event);
    if (state === null) return;
    held = { id: event.pointerId, x: event.clientX, y: event.clientY, state };
    element.setPointerCapture(event.pointerId);
    element.classList.add('held');
    event.preventDefault();
  });
  element.addEventListener('pointermove', (event) => {
    if (held?.id === event.pointerId) move(held.state, event.clientX - held.x, event.clientY - held.y);
  });
  const release = (event) => {
    if (held?.id !== event.pointerId) return;
    element.classList.remove('held');
    end(held.state, event.clientX - held.x, event.clientY - held.y);
    held = null;
  };
  element.addEventListener('pointerup', release);
  element.addEventListener('pointercancel', release);
}
