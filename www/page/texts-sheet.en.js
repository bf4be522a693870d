// The words of answer sheets as files and on paper, and of reports, in English.
export const SHEET = Object.freeze({
  'sheet.files': 'Answers as a file, blank sheet to print',
  'sheet.files.words': 'A table opens in any spreadsheet and can come back from there.',
  'sheet.files.csv': 'Save as a table (CSV)',
  'sheet.files.json': 'Save as JSON',
  'sheet.files.blank': 'Save a blank sheet to print',
  'sheet.files.open': 'Open answers from a file …',
  'sheet.files.taken': 'The sheet now has the answers of {name}. Calls: {count}. Undo brings back what was there before.',
  'sheet.files.refused': '{why}. The sheet is as it was.',
});
