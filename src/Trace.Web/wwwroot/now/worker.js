// Keeps the screen's own files, so that it opens without a network. Never touches what is recorded or asked: that is the outbox's.
const shelf = 'trace-now-1';
const files = [
  '/now/', '/now/now.css', '/app.css', ...['screen', 'elements', 'words', 'store', 'outbox', 'picture', 'codes', 'form', 'steps', 'dryer', 'sanitising', 'holds', 'around', 'alarm', 'camera'].map(name => `/now/${name}.js`),
  ...['en', 'fr', 'es', 'id', 'sw'].map(language => `/now/words/${language}.json`),
];

self.addEventListener('install', event => {
  event.waitUntil(caches.open(shelf).then(cache => cache.addAll(files)).then(() => self.skipWaiting()));
});

self.addEventListener('activate', event => {
  event.waitUntil(caches.keys().then(names => Promise.all(names.filter(name => name !== shelf).map(name => caches.delete(name)))).then(() => self.clients.claim()));
});

self.addEventListener('fetch', event => {
  const address = new URL(event.request.url);
  const isOurs = address.origin === location.origin && (address.pathname.startsWith('/now/') || address.pathname === '/app.css');
  if (event.request.method === 'GET' && isOurs) event.respondWith(answer(event.request, address));
});

/** The network first, so that a new version comes at once; the shelf when it does not answer within three seconds. */
async function answer(request, address) {
  const name = address.pathname;
  const cache = await caches.open(shelf);
  // The decoder is large and never changes under its name.
  const held = name.startsWith('/now/zxing/') ? await cache.match(name) : null;
  if (held) return held;
  try {
    const fresh = await fetch(request, { signal: AbortSignal.timeout(3000) });
    if (fresh.ok) await cache.put(name, fresh.clone());
    return fresh;
  } catch (error) {
    const old = await cache.match(name);
    if (old) return old;
    throw error;
  }
}
