// Where plates come from: the scenarios beside the page, or whatever the page hands over.

/** Name and bytes of the file a source is in; a plate just drawn from a seed is in none. */
export async function plateFile(source) {
  if (source.kind !== 'plate' && source.kind !== 'block') return source;
  const [folder, file] = source.kind === 'plate' ? ['plates', `${source.plate}.toml`] : ['blocks', `${source.block}.toml`];
  const response = await fetch(new URL(`../scenarios/${folder}/${encodeURIComponent(file)}`, import.meta.url));
  if (!response.ok) {
    const error = new Error(file);
    error.reason = 'fail.no_plate';
    throw error;
  }
  return { name: file, bytes: new Uint8Array(await response.arrayBuffer()) };
}
