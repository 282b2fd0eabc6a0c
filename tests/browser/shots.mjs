// Saves a picture of each view and of each part, on a phone and on a desk, light and dark, to target/shots.
import { mkdir } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { serveParts } from "./parts/serve.mjs";
import { launch, serve } from "./support.mjs";

const folder = fileURLToPath(new URL("../../target/shots/", import.meta.url));
const wanted = process.argv[2] ?? "";

const views = {
  now: "#now",
  why: "#now/dark-start-unfinished",
  may: "#may/plant",
  coming: "#coming",
  weeks: "#weeks",
  ways: "#ways",
  whatif: "#whatif",
  life: "#life",
  map: "#map",
  amounts: "#amounts",
  amount: "#amounts/raise-gh",
  rules: "#rules/dark-start-unfinished",
  workshop: "#workshop/dark-start-unfinished",
  tank: "#tank",
  write: "#write",
};

const browser = await launch();
const server = await serve();
const parts = await serveParts();
await mkdir(folder, { recursive: true });
for (const width of [390, 1280]) {
  for (const colorScheme of ["light", "dark"]) {
    const context = await browser.newContext({
      colorScheme,
      viewport: { width, height: width === 390 ? 844 : 900 },
    });
    for (const [name, hash] of Object.entries(views)) {
      const file = `${name}-${width}-${colorScheme}.png`;
      if (!file.includes(wanted)) continue;
      const page = await context.newPage();
      await page.goto(server.url + hash);
      await page.locator("body[data-ready]").waitFor();
      await page.locator(".view:not([hidden]) [aria-busy]").waitFor({ state: "detached" });
      await page.waitForTimeout(100);
      await page.screenshot({ path: folder + file, fullPage: true });
      await page.close();
    }
    await shootParts(context, `${width}-${colorScheme}.png`);
    await context.close();
  }
}
await browser.close();
await server.close();
await parts.close();

/** The page of parts, a picture for each. */
async function shootParts(context, ending) {
  const page = await context.newPage();
  await page.goto(parts.url);
  await page.locator("body[data-ready]").waitFor();
  for (const section of await page.locator(".gallery > section").all()) {
    const file = `part-${await section.getAttribute("id")}-${ending}`;
    if (file.includes(wanted)) await section.screenshot({ path: folder + file });
  }
  await page.close();
}
