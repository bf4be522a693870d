// Keeps one whole edition of the page for use without a network. `cargo xtask build` fills in the next two lines, so that any
// changed file makes this one another file, and the browser sees a new edition.
const EDITION = '';
const FILES = [];

// Other copies of the page, in other folders of the same host, have caches of their own.
const MINE = `trialplate ${registration.scope} `;
const CACHE = MINE + EDITION;

addEventListener('install', (event) => event.waitUntil(fill()));
addEventListener('activate', (event) => event.waitUntil(tidy()));
addEventListener('message', (event) => event.waitUntil(takeOver(event)));
addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || !url.href.startsWith(registration.scope)) return;
  event.respondWith(answer(event.request, url));
});

/** All files or none: half an edition would mix a program and a page that do not fit. */
async function fill() {
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(FILES.map(async (file) => cache.put(file, await whole(file))));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

/** A file as the host has it now. A host that answers a missing file with a page, or with a redirection, is told from one that has it. */
async function whole(file) {
  const response = await fetch(file, { cache: 'no-cache' });
  const page = file === './' || file.endsWith('.html');
  const type = response.headers.get('content-type') ?? '';
  if (!response.ok || type.startsWith('text/html') !== page) throw new Error(`${response.status} ${type} for ${file}`);
  // A response that was redirected may not answer a navigation.
  return new Response(response.body, { status: 200, headers: response.headers });
}

async function tidy() {
  for (const name of await caches.keys()) if (name.startsWith(MINE) && name !== CACHE) await caches.delete(name);
  // Only a first edition has pages to take: a newer one is let in when they ask for it.
  await clients.claim();
}

/** A page asks who else is here, and then for this edition. With other pages open it stays outside: one of them may be in the
 * middle of an exam. */
async function takeOver({ data, ports: [port] }) {
  const open = await clients.matchAll({ type: 'window', includeUncontrolled: true });
  const others = open.filter(({ url }) => url.startsWith(registration.scope)).length - 1;
  port?.postMessage({ others });
  if (data === 'take over' && others <= 0) await skipWaiting();
}

async function answer(request, url) {
  const cache = await caches.open(CACHE);
  const path = url.href.slice(registration.scope.length).split(/[?#]/)[0];
  const kept = await cache.match(path === '' || path === 'index.html' ? './' : path);
  return kept ?? fetch(request);
}
