// Hands a text to the reader as a file.

export function save(name, words, type = 'application/json') {
  const url = URL.createObjectURL(new Blob([words], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  // The download has its own hold on the data once it began.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
