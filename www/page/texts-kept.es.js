// The words of keeping work, and of a plate open in two tabs, in Spanish.
export const KEPT = Object.freeze({
  'sheet.redo': 'Rehacer',
});
