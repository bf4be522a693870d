// Keeps an eye on a browser context: whatever goes wrong in any of its pages is a complaint.

/** Complaints of a context whose pages may talk to one origin only: what leaves it is stopped, or without `hold` only told.
 * `forgiven(words)` knows page errors that are none. */
export async function watch(context, origin, { hold = true, forgiven = () => false } = {}) {
  const complaints = [];
  const inside = (url) => url.startsWith(`${origin}/`) || url.startsWith(`blob:${origin}`) || url.startsWith('data:');
  const leaves = (url) => complaints.push(`request leaves the origin: ${url}`);
  if (hold) {
    await context.route((url) => !inside(String(url)), (route) => {
      leaves(route.request().url());
      return route.abort();
    });
  } else context.on('request', (request) => { if (!inside(request.url())) leaves(request.url()); });
  context.on('console', (message) => {
    if (message.type() === 'error') complaints.push(`console error: ${message.text()} (${message.location().url})`);
  });
  context.on('weberror', async (error) => {
    const words = `page error: ${error.error().stack ?? error.error()}`;
    complaints.push(words);
    if (await forgiven(words)) complaints.splice(complaints.indexOf(words), 1);
  });
  context.on('response', (response) => {
    if (response.status() >= 400) complaints.push(`${response.status()} for ${response.url()}`);
  });
  context.on('page', (page) => page.on('crash', () => complaints.push('the page crashed')));
  return complaints;
}
