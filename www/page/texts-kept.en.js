// The words of keeping work, and of a plate open in two tabs, in English.
export const KEPT = Object.freeze({
  'sheet.redo': 'Redo',
});
