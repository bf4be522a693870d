// A static host that knows nothing of the page, with the page in a sub-folder; it can be taken away and given another edition.
import { createServer } from 'node:http';
import { readFile } from 'node:fs/promises';
import { extname } from 'node:path';

const DIST = new URL('../../../dist/', import.meta.url);
const TYPES = { '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css', '.wasm': 'application/wasm', '.svg': 'image/svg+xml',
  '.png': 'image/png', '.toml': 'text/plain', '.webmanifest': 'application/manifest+json' };
const FOLDER = '/school/bench/';

/** Starts it; `change(path, text)` gives what is sent instead of a file's text. */
export async function host(port = 0) {
  let change = (path, bytes) => bytes;
  const server = createServer(async (request, response) => {
    const { pathname } = new URL(request.url, 'http://localhost');
    const path = pathname === FOLDER ? 'index.html' : pathname.slice(FOLDER.length);
    try {
      if (!pathname.startsWith(FOLDER)) throw new Error(pathname);
      const bytes = change(path, await readFile(new URL(path, DIST)));
      response.writeHead(200, { 'content-type': TYPES[extname(path)] ?? 'application/octet-stream' });
      response.end(bytes);
    } catch {
      response.writeHead(404, { 'content-type': 'text/plain' });
      response.end('not here');
    }
  });
  await new Promise((resolve) => server.listen(port, '127.0.0.1', resolve));
  return {
    address: `http://127.0.0.1:${server.address().port}${FOLDER}`,
    edition(next) { change = next; },
    close: () => new Promise((resolve) => { server.closeAllConnections(); server.close(resolve); }),
  };
}
