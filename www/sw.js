// The build writes the version, a digest of every file, and the list of files.
// A new version fills a cache of its own first, so that only a whole one is ever used.
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const VERSION = "<version>";
const FILES = ["<files>"];

// Another copy of the page on the same host keeps its own caches. No path holds a space.
const PREFIX = `lentic-${new URL(worker.registration.scope).pathname} `;
const CACHE = PREFIX + VERSION;
const LATER = /\/(pkg\/)?proof[^/]*$/;

worker.addEventListener("install", (event) => event.waitUntil(fill()));
worker.addEventListener("activate", (event) => event.waitUntil(takeOver()));
worker.addEventListener("message", (event) => {
  if (event.data === "activate") worker.skipWaiting();
});
worker.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || new URL(request.url).origin !== location.origin) return;
  event.respondWith(kept(request));
});

async function fill() {
  const cache = await caches.open(CACHE);
  // The browser's own store of pages could still hold a file of the old version.
  await cache.addAll(FILES.map((file) => new Request(file, { cache: "no-cache" })));
}

async function takeOver() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await worker.clients.claim();
}

/** @param {Request} request */
async function kept(request) {
  // Only this version's cache: a search through all of them would mix versions.
  const cache = await caches.open(CACHE);
  return (await cache.match(request, { ignoreSearch: true })) ?? later(request, cache);
}

/**
 * What no first visit needs is kept once it was needed.
 * @param {Request} request
 * @param {Cache} cache
 */
async function later(request, cache) {
  const answer = await fetch(request);
  if (answer.ok && LATER.exec(new URL(request.url).pathname))
    await cache.put(request, answer.clone());
  return answer;
}
