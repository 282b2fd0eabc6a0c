// The build writes the version, a digest of every file, the list of files, and what only a reader of another language
// needs: the page in it first.
// A new version fills a cache of its own first, so that only a whole one is ever used.
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const VERSION = "<version>";
const FILES = ["<files>"];
const LANGUAGES = /** @type {string[][]} */ (/** @type {unknown} */ (["<languages>"]));

// Another copy of the page on the same host keeps its own caches. No path holds a space.
const PREFIX = `lentic-${new URL(worker.registration.scope).pathname} `;
const CACHE = PREFIX + VERSION;

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
  const files = [...FILES, ...(await otherLanguages())];
  await cache.addAll(files.map((file) => new Request(file, { cache: "no-cache" })));
}

/** The files of each language that is being read, or was read with an older version. */
async function otherLanguages() {
  const open = await worker.clients.matchAll({ includeUncontrolled: true, type: "window" });
  const pages = open.map(({ url }) => new URL(url).pathname);
  const old = (await caches.keys()).filter((name) => name.startsWith(PREFIX));
  const isRead = async (/** @type {string} */ page) => {
    const address = new URL(page, worker.registration.scope);
    if (pages.includes(address.pathname)) return true;
    const found = await Promise.all(
      old.map(async (name) => (await caches.open(name)).match(address.href)),
    );
    return found.some(Boolean);
  };
  const read = await Promise.all(LANGUAGES.map(([page]) => isRead(page)));
  return LANGUAGES.filter((_, index) => read[index]).flat();
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
  if (answer.ok && isForLater(new URL(request.url))) {
    await cache.put(request.url.split(/[?#]/)[0], answer.clone());
  }
  return answer;
}

/** @param {URL} url */
function isForLater({ pathname }) {
  const { pathname: scope } = new URL(worker.registration.scope);
  const name = pathname.startsWith(scope) ? pathname.slice(scope.length) : "";
  return LANGUAGES.flat().includes(name);
}
