// The words of keeping work, and of a plate open in two tabs, in English.
export const KEPT = Object.freeze({
  'kept.full': 'The browser has no room left: from here on nothing is kept. Save the session to a file now, then make room by forgetting old plates on the start page.',
  'kept.file': 'Save the session to a file',
  'kept.again': 'Try again',
  'kept.understood': 'Understood',
  'kept.bad_file': '“{what}” is a saved session, but it was cut off or changed on its way. Expected: the file as it was saved here.',
  'kept.elsewhere': 'This plate is open in another tab, and that tab keeps it. Here you can look on and try things; none of it is kept.',
  'kept.lost': 'You went on with this plate in another tab. All you did here until then is kept; what you do here from now on is not.',
  'kept.here': 'Go on here',
  'kept.anew': 'Begin this plate anew here',
  'sheet.redo': 'Redo',
  'save.told': '{name} is saved, among your downloads.',
  'start.forgotten': '{title} is forgotten.',
  'start.forget.undo': 'Undo: {title} comes back',
});
