// The ends of a call, set where the probe or the cursor is.
import { text } from './text.js';

/** Sets an end, start_mm or end_mm, on purpose. Whichever end passes the other takes it along. */
export function endAt(session, index, name, y_mm) {
  const call = { ...session.sheet.calls[index], [name]: y_mm };
  call.start_mm ??= call.end_mm;
  call.end_mm ??= call.start_mm;
  if (call.end_mm < call.start_mm) call[name === 'start_mm' ? 'end_mm' : 'start_mm'] = y_mm;
  return session.editCall(index, call, name);
}

/** Of a call whose end was typed before its start the two change places: once both are typed, for one alone may be on its way. */
export function inOrder(session, index, notice) {
  const call = session.sheet.calls[index];
  if (session.handed_in || !call || call.start_mm === null || call.end_mm === null || call.end_mm >= call.start_mm) return;
  session.editCall(index, { ...call, start_mm: call.end_mm, end_mm: call.start_mm });
  notice(text('notice.swapped', { n: index + 1 }));
}

/** Sets an end of the last call and says so. */
export async function setEnd(session, name, y_mm, notice) {
  if (session.handed_in) return notice(text('coach.handed_in'));
  const index = session.sheet.calls.length - 1;
  if (index < 0) return notice(text('notice.no_call'));
  await endAt(session, index, name, y_mm);
  notice(text(`notice.${name}`, { n: index + 1, y_mm }));
}
