// The page's scripts one by one as they stand in www/, where a test needs to get at one of them.
import { fileURLToPath } from 'node:url';

const SCRIPTS = new URL('../../../www/', import.meta.url);
const FROM = /\/((page|shared)\/[\w.-]+\.js)$/;

/** Serves them to a page in place of the bundle. */
export const asWritten = (page) => page.route(FROM, (route) => {
  const [, path] = FROM.exec(new URL(route.request().url()).pathname);
  return route.fulfill({ path: fileURLToPath(new URL(path, SCRIPTS)) });
});
