// A whole plate in an address, packed; and back, with a limit to everything that comes from outside.

const PLACE = 'plate-text=';
/** Longest address that is made, characters: longer ones get lost in mail and messengers. */
const LONGEST_MADE = 8_000;
/** Longest packed text that is looked at, characters, and longest plate file, bytes. */
const LONGEST_READ = 200_000;
const MOST_BYTES = 1_000_000;

/** The address of a plate's text; null when it would be too long. */
export async function addressOf(text) {
  const packed = new Uint8Array(await new Response(new Blob([text]).stream().pipeThrough(new CompressionStream('deflate-raw'))).arrayBuffer());
  let letters = '';
  for (const byte of packed) letters += String.fromCharCode(byte);
  const word = btoa(letters).replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '');
  const address = `${location.href.split('#')[0]}#${PLACE}${word}`;
  return address.length > LONGEST_MADE ? null : address;
}

export const isPlateAddress = (hash) => hash.startsWith(`#${PLACE}`);

/** The bytes of the plate file in an address; null when it holds none that could be read. */
export async function plateOf(hash) {
  const word = hash.slice(1 + PLACE.length);
  if (word.length > LONGEST_READ || !/^[\w-]+$/.test(word)) return null;
  try {
    const letters = atob(word.replaceAll('-', '+').replaceAll('_', '/'));
    const packed = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
    const reader = new Blob([packed]).stream().pipeThrough(new DecompressionStream('deflate-raw')).getReader();
    const parts = [];
    let bytes = 0;
    for (let { done, value } = await reader.read(); !done; { done, value } = await reader.read()) {
      bytes += value.byteLength;
      if (bytes > MOST_BYTES) {
        await reader.cancel();
        return null;
      }
      parts.push(value);
    }
    return new Uint8Array(await new Blob(parts).arrayBuffer());
  } catch {
    return null;
  }
}
