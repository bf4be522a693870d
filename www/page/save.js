// Hands a text to the reader as a file, and says so: not every browser does.
import { clear } from './failure.js';
import { text } from './text.js';
import { toast } from './toast.js';

const { element, notice } = toast();
document.getElementById('places').append(element);

export const savedWords = (name) => text('save.told', { name });

export function save(name, words, type = 'application/json') {
  const url = URL.createObjectURL(new Blob([words], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  notice(savedWords(name));
  // What failed before is over.
  clear();
  // The download has its own hold on the data once it began.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
