// The finished site on a server of the test's own, and a browser to open it in.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import http from "node:http";
import path from "node:path";
import { after, before } from "node:test";
import { fileURLToPath } from "node:url";
import { brotliCompressSync } from "node:zlib";
import { AxeBuilder } from "@axe-core/playwright";
import { chromium } from "playwright-core";

const site = fileURLToPath(new URL("../../target/site", import.meta.url));

const mediaTypes = {
  ".css": "text/css",
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript",
  ".json": "application/json",
  ".rules": "text/plain; charset=utf-8",
  ".svg": "image/svg+xml",
  ".wasm": "application/wasm",
  ".webmanifest": "application/manifest+json",
};

/**
 * Serves the site on a free port until `close` is called; then nothing answers there.
 * `changed` may change a file's text on its way, as a newer version of the site would;
 * `found` may find the files elsewhere.
 */
export const serve = (changed = (_, body) => body, found = inSite) =>
  served(found, (name, body) => ({
    body: changed(name, body),
    headers: { "cache-control": "no-cache" },
  }));

/** Serves it as a host of static files does: squeezed, and to be kept for an hour. */
export function host() {
  const squeezed = new Map();
  return served(inSite, (name, body) => {
    if (!squeezed.has(name)) squeezed.set(name, brotliCompressSync(body));
    const headers = { "cache-control": "max-age=3600", "content-encoding": "br" };
    return { body: squeezed.get(name), headers };
  });
}

const inSite = (name) => readFile(path.join(site, name));

async function served(found, given) {
  const server = http.createServer((request, response) => answer(request, response, found, given));
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  const close = () =>
    new Promise((closed) => {
      server.close(closed);
      server.closeAllConnections();
    });
  return { url: `http://127.0.0.1:${server.address().port}/`, close };
}

async function answer(request, response, found, given) {
  const { pathname } = new URL(request.url, "http://127.0.0.1");
  const name = pathname.endsWith("/") ? `${pathname}index.html` : pathname;
  try {
    const { body, headers } = given(name, await found(name));
    response.writeHead(200, {
      "content-type": mediaTypes[path.extname(name)] ?? "application/octet-stream",
      ...headers,
    });
    response.end(body);
  } catch {
    response.writeHead(404).end();
  }
}

/** A headless Chromium that asks nothing of the network by itself. */
export function launch() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    chromiumSandbox: false,
    args: [
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

/** Opens a page of its own, with its own storage, and closes it after use. */
export async function open(browser, options, use) {
  const context = await browser.newContext(options);
  context.setDefaultTimeout(10_000);
  try {
    await use(await context.newPage());
  } finally {
    await context.close();
  }
}

/** Notes what a page complains of and whom it asks, from now on. */
export function watch(page) {
  const seen = { complaints: [], origins: new Set() };
  page.on("pageerror", (error) => seen.complaints.push(String(error)));
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) seen.complaints.push(message.text());
  });
  page.context().on("request", (request) => seen.origins.add(new URL(request.url()).origin));
  return seen;
}

/**
 * Looks at a page, or at what `selector` finds in it, by all rules of axe-core.
 * Of a rule that passes one node is told, which saves half the time.
 * Nothing here has frames, so one run tells all; joining the runs of frames would double the time.
 */
export async function assertAccessible(page, name, selector = ":root") {
  const axe = new AxeBuilder({ page })
    .setLegacyMode(true)
    .options({ resultTypes: ["violations"] })
    .include(selector);
  const { violations, passes } = await axe.analyze();
  const told = violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)]);
  assert.deepEqual(told, [], name);
  assert.ok(passes.length > 0, "axe looked at nothing");
  return passes.map(({ id }) => id);
}

/** Waits until the page can do without a network. */
export async function waitUntilKept(page) {
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
  });
}

/** The tanks that the browser keeps for the page, oldest writing first. */
export const keptTanks = (page) =>
  page.evaluate(async () => {
    const done = (request) =>
      new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const names = (await indexedDB.databases()).map(({ name }) => name);
    if (!names.includes("lentic")) return [];
    const database = await done(indexedDB.open("lentic"));
    const tanks = await done(database.transaction("tanks").objectStore("tanks").getAll());
    database.close();
    return tanks.map(({ journal }) => journal);
  });

/** Saves what a button hands over, and reads it. */
export async function saved(page, name) {
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name, exact: true }).click();
  const file = await download;
  return { name: file.suggestedFilename(), text: await readFile(await file.path(), "utf8") };
}

/** Tries a check until it passes: what is kept is written after it is shown. */
export async function eventually(check) {
  for (let left = 50; ; left -= 1) {
    try {
      return await check();
    } catch (error) {
      if (left === 0) throw error;
      await new Promise((passed) => setTimeout(passed, 40));
    }
  }
}

/** The browser and the site of a test file. @type {import("playwright-core").Browser} */
export let browser;
/** @type {Awaited<ReturnType<typeof serve>>} */
export let server;

/** Opens both before the tests of a file, and closes them after; `start` may serve something else than the site. */
export function withSite(start = serve) {
  before(async () => {
    browser = await launch();
    server = await start();
  });
  after(async () => {
    await browser?.close();
    await server?.close();
  });
}

/** Once the engine has spoken. @param {import("playwright-core").Page} page */
export const isReady = (page) => page.locator("body[data-ready]").waitFor();
