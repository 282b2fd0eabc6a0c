// What a visitor waits for, in Chromium at a quarter of its speed; after `cargo xtask build`:
// node tests/bench/page.mjs [--lighthouse]
// Lighthouse is fetched by npx when asked for; it is too heavy for every run.
import { execFile } from "node:child_process";
import { mkdtempSync, readFileSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { promisify } from "node:util";
import { brotliCompressSync, constants } from "node:zlib";
import { host, launch, serve } from "../browser/support.mjs";

const SLOWER = 4;
const RUNS = 5;
const server = await serve();
const browser = await launch();

/** Smallest of a few measurements: whatever else runs only adds. */
async function least(measure) {
  let smallest = Number.POSITIVE_INFINITY;
  for (let run = 0; run < RUNS; run += 1) smallest = Math.min(smallest, await measure());
  return smallest;
}

/** A page that nothing is kept for, with its processor slowed down. */
async function slowed(use) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  try {
    return await use(page);
  } finally {
    await context.close();
  }
}

const squeezed = (bytes) =>
  brotliCompressSync(bytes, { params: { [constants.BROTLI_PARAM_LGWIN]: 24 } }).length;

/** Bytes of a first visit, each file squeezed as a good server would. */
async function firstVisit() {
  const files = new Map();
  await slowed(async (page) => {
    page.on("response", (response) => {
      files.set(new URL(response.url()).pathname, response);
    });
    await page.goto(server.url);
    await page.locator("body[data-ready]").waitFor();
    for (const [name, response] of files) files.set(name, squeezed(await response.body()));
  });
  const sum = (test) =>
    [...files].filter(([name]) => test(name)).reduce((total, [, size]) => total + size, 0) / 1000;
  return { all: sum(() => true), wasm: sum((name) => name.endsWith(".wasm")), count: files.size };
}

/** From the address to the first advice on the screen. The page tells it itself: waiting from outside costs it time. */
const cold = () =>
  slowed(async (page) => {
    await page.addInitScript(() => {
      const observer = new MutationObserver(() => {
        if (!document.querySelector(".advice")) return;
        observer.disconnect();
        requestAnimationFrame(() => setTimeout(() => console.log(`advised ${performance.now()}`)));
      });
      observer.observe(document, { childList: true, subtree: true });
    });
    const told = page.waitForEvent("console", (message) => message.text().startsWith("advised"));
    await page.goto(server.url, { waitUntil: "commit" });
    return Number((await told).text().split(" ")[1]);
  });

/** From a key pressed in a field to the answer with it on the screen. */
const pressed = () =>
  slowed(async (page) => {
    await page.goto(`${server.url}#whatif`);
    await page.locator("body[data-ready]").waitFor();
    await page.locator("#whatif input[type=range], #whatif input").first().waitFor();
    await page.waitForTimeout(500);
    return page.evaluate(async () => {
      const field = document.querySelector("#whatif input");
      const region = document.querySelector("#whatif");
      const changed = new Promise((seen) => {
        const observer = new MutationObserver(() => {
          observer.disconnect();
          requestAnimationFrame(() => setTimeout(() => seen(performance.now())));
        });
        observer.observe(region, { childList: true, subtree: true, characterData: true });
      });
      const start = performance.now();
      if (field.type === "range") field.value = field.max;
      else field.value = "3";
      field.dispatchEvent(new Event("input", { bubbles: true }));
      field.dispatchEvent(new Event("change", { bubbles: true }));
      return (await changed) - start;
    });
  });

/** A forecast after a new reading, and the longest that the page stood still meanwhile. */
let stillest = Number.POSITIVE_INFINITY;
const foretold = () =>
  slowed(async (page) => {
    page.setDefaultTimeout(20_000);
    await page.goto(`${server.url}#coming`);
    await page.locator("#forecast figure").first().waitFor();
    await page.locator("#forecast [aria-busy]").waitFor({ state: "detached" });
    await page.evaluate(() => {
      globalThis.longest = 0;
      new PerformanceObserver((list) => {
        for (const one of list.getEntries())
          globalThis.longest = Math.max(globalThis.longest, one.duration);
      }).observe({ entryTypes: ["longtask"] });
      document.querySelector("#forecast figure").classList.add("of-before");
      const form = document.querySelector("#readings");
      // Before the page hears of it, and after.
      form.addEventListener(
        "submit",
        () => {
          globalThis.began = performance.now();
        },
        { once: true, capture: true },
      );
      form.addEventListener(
        "submit",
        () => {
          location.hash = "#coming";
        },
        { once: true },
      );
    });
    await page.locator("#readings").getByLabel("pH", { exact: true }).fill("6.7");
    await page.locator("#readings .chief").click();
    const took = await page.evaluate(async () => {
      // The last picture ends it; until then the pictures of before, or the frame, are there to be waited for.
      while (document.querySelector("#forecast :is(.of-before, [aria-busy])"))
        await new Promise((passed) => setTimeout(passed, 5));
      return performance.now() - globalThis.began;
    });
    const longest = await page.evaluate(() => globalThis.longest);
    stillest = Math.min(stillest, longest);
    return took;
  });

const line = (what, value, limit, unit) =>
  console.log(`${what}: ${value.toFixed(0)} ${unit} [${limit} ${unit}]`);

const size = await firstVisit();
line(
  `first visit, ${size.count} files, brotli, of which wasm ${size.wasm.toFixed(0)}`,
  size.all,
  200,
  "kB",
);
line("address to first advice, nothing kept, 4 times slower", await least(cold), 1500, "ms");
line("key press to new advice, 4 times slower", await least(pressed), 50, "ms");
line("new reading to new forecast, 4 times slower", await least(foretold), 500, "ms");
line("longest that the page stood still meanwhile", stillest, 50, "ms");
await server.close();

if (process.argv.includes("--lighthouse")) {
  const hosted = await host();
  // Once, so that every file is squeezed before it counts.
  const page = await browser.newPage();
  await page.goto(hosted.url);
  await page.locator("body[data-ready]").waitFor();
  await page.close();
  const folder = mkdtempSync(path.join(os.tmpdir(), "lentic-"));
  const report = path.join(folder, "report.json");
  // Not `execFileSync`: the pages come from this very process.
  await promisify(execFile)(
    "npx",
    [
      "--yes",
      "lighthouse@12.8.2",
      hosted.url,
      "--quiet",
      "--output=json",
      `--output-path=${report}`,
      "--only-categories=performance,accessibility,best-practices",
      "--chrome-flags=--headless=new --no-sandbox --disable-gpu",
    ],
    { env: { ...process.env, CHROME_PATH: process.env.CHROMIUM ?? "/usr/bin/chromium" } },
  );
  await hosted.close();
  const { categories, audits } = JSON.parse(readFileSync(report, "utf8"));
  for (const { title, score } of Object.values(categories)) line(title, 100 * score, 100, "of 100");
  for (const { id, score, title, displayValue } of Object.values(audits))
    if (score !== null && score < 0.9) console.log(`  ${id}: ${title} ${displayValue ?? ""}`);
}
await browser.close();
