// The page in Firefox, where there is one: FIREFOX names the program.
import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { after, before, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";
import { serve } from "./support.mjs";

const program =
  process.env.FIREFOX ??
  ["/usr/bin/firefox", "/usr/bin/firefox-esr"].find((path) => existsSync(path));
const skip = program ? false : "there is no Firefox; name its program with FIREFOX";
const oneFile = pathToFileURL(fileURLToPath(new URL("../../target/lentic.html", import.meta.url)));

/** @type {import("puppeteer-core").Browser} */
let browser;
let server;

before(async () => {
  if (skip) return;
  server = await serve();
  browser = await puppeteer.launch({
    browser: "firefox",
    executablePath: program,
    // Without this a file would be let into its whole folder, and the one file would prove nothing.
    extraPrefsFirefox: { "security.fileuri.strict_origin_policy": true },
  });
});
after(async () => {
  await browser?.close();
  await server?.close();
});

/** A page with its own storage, and what it complained of. */
async function withPage(use) {
  const context = await browser.createBrowserContext();
  try {
    const page = await context.newPage();
    page.setDefaultTimeout(20_000);
    await page.setViewport({ width: 1280, height: 900 });
    const complaints = [];
    page.on("pageerror", (error) => complaints.push(String(error)));
    await use(page, complaints);
  } finally {
    await context.close();
  }
}

const ready = async (page, address) => {
  await page.goto(address);
  await page.waitForSelector("body[data-ready]");
};
const says = (page, text) => page.waitForSelector(`::-p-text(${text})`, { visible: true });

test("Firefox: the example is advised on, with its evidence", { skip }, () =>
  withPage(async (page, complaints) => {
    await ready(page, `${server.url}#now/dark-start-unfinished`);
    await says(page, "Hold back planting");
    await says(page, "Compared with 21 days");
    assert.deepEqual(complaints, []);
  }),
);

test(
  "Firefox: a reading is written down, taken into the advice, and there again without a server",
  {
    skip,
  },
  () =>
    withPage(async (page, complaints) => {
      const own = await serve();
      await ready(page, own.url);
      await page.locator("::-p-text(Start with my own tank)").click();
      const field = await page.waitForFunction(
        () =>
          [...document.querySelectorAll("#readings label")].find(
            (label) => label.textContent === "pH",
          )?.control,
      );
      await field.type("6.7");
      await page.click("#readings .chief");
      await says(page, "pH 6.7");
      await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
      await own.close();
      await page.reload();
      await page.waitForSelector("body[data-ready]");
      await says(page, "pH 6.7");
      assert.deepEqual(complaints, []);
    }),
);

test("Firefox: a worker tells what is coming", { skip }, () =>
  withPage(async (page, complaints) => {
    await ready(page, `${server.url}#coming`);
    await page.waitForSelector("#forecast figure svg");
    await says(page, "Worked out for");
    assert.deepEqual(complaints, []);
  }),
);

test("Firefox: the German page speaks German, without a server too", { skip }, () =>
  withPage(async (page, complaints) => {
    const own = await serve();
    await ready(page, `${own.url}de.html`);
    await says(page, "Mit dem Bepflanzen warten");
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
    await own.close();
    await page.reload();
    await page.waitForSelector("body[data-ready]");
    await says(page, "Mit dem Bepflanzen warten");
    assert.deepEqual(complaints, []);
  }),
);

test("Firefox: the page as one file advises from a disk", { skip }, () =>
  withPage(async (page, complaints) => {
    await ready(page, oneFile.href);
    await says(page, "Hold back planting");
    assert.deepEqual(complaints, []);
  }),
);

test("Firefox: a club's page holds the advisor under a strict policy", { skip }, () =>
  withPage(async (page, complaints) => {
    await page.goto(`${server.url}club/`);
    await page.waitForFunction(() =>
      document.querySelector("lentic-advisor")?.shadowRoot?.querySelector(".advice"),
    );
    // Firefox asks for an icon by itself, and the club's policy refuses it.
    assert.deepEqual(
      complaints.filter((text) => !text.includes("favicon.ico")),
      [],
    );
  }),
);
