import assert from "node:assert/strict";
import { readdir, readFile } from "node:fs/promises";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import {
  browser,
  isReady,
  open,
  serve,
  server,
  waitUntilKept,
  watch,
  withSite,
} from "./support.mjs";

withSite();

const withPage = (options, use) => open(browser, options, use);

test("the example is there on first paint, nothing complains and nobody else is asked", () =>
  withPage({}, async (page) => {
    const seen = watch(page);
    await page.goto(server.url);
    await isReady(page);
    await page.getByText("This is an example.").waitFor();
    assert.ok((await page.locator(".advice").count()) >= 3);
    await page.getByRole("heading", { name: "Hold back planting" }).waitFor();
    await waitUntilKept(page);
    assert.deepEqual(seen.complaints, []);
    assert.deepEqual([...seen.origins], [new URL(server.url).origin]);
  }));

test("the words are in the markup, readable without script", () =>
  withPage({ javaScriptEnabled: false }, async (page) => {
    await page.goto(server.url);
    await page.getByRole("heading", { name: "What now?" }).waitFor();
    await page.getByText("Advice from a rule book, not from a professional.").waitFor();
    await page.getByRole("heading", { name: "What your tests read" }).waitFor();
  }));

test("what the page is stands there before the engine does, and goes with the example", () =>
  withPage({ serviceWorkers: "block" }, async (page) => {
    const there = [
      "Lentic reasons with you",
      "This is an example.",
      "the day is 25 September 2026",
    ];
    await page.route("**/*.wasm", async (route) => {
      for (const text of there) await page.getByText(text).waitFor();
      await route.continue();
    });
    await page.goto(server.url);
    await isReady(page);
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    await page.getByText("Lentic reasons with you").waitFor({ state: "hidden" });
  }));

test("conditions are told in words, not in signs", () =>
  withPage({}, async (page) => {
    await page.goto(`${server.url}#may`);
    await isReady(page);
    const told = await page.locator("#view-may .condition").allTextContents();
    assert.ok(told.some((text) => text.includes("age of nitrite at most 2 days")));
    assert.deepEqual(
      told.filter((text) => /[<>]/.test(text)),
      [],
    );
  }));

test("the page opens again when its server is gone, with what was written down", () =>
  withPage({}, async (page) => {
    const own = await serve();
    await page.goto(own.url);
    await isReady(page);
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    await page.getByLabel("Name of the tank").fill("Alder pool");
    await page.getByLabel("Name of the tank").blur();
    await waitUntilKept(page);
    await own.close();
    await page.reload();
    await isReady(page);
    assert.equal(await page.getByLabel("Name of the tank").inputValue(), "Alder pool");
    await page.goto(`${own.url}index.html?from=bookmark`);
    await isReady(page);
    await page.getByRole("heading", { name: "What now?" }).waitFor();
  }));

test("a newer version waits until it is asked for, and then takes over whole", () =>
  withPage({}, async (page) => {
    let isNewer = false;
    const newer = (name, body) => {
      if (!isNewer) return body;
      if (name === "/sw.js") return String(body).replace(/const VERSION = "/, "$&newer-");
      if (name === "/index.html") return String(body).replace("<h1>", '<h1 id="newer-page">');
      return body;
    };
    const own = await serve(newer);
    await page.goto(own.url);
    await isReady(page);
    await waitUntilKept(page);
    await page.reload();
    await isReady(page);
    assert.equal(await page.locator("#newer").isVisible(), false);
    isNewer = true;
    await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
    await page.getByText("A newer version of this page has been fetched.").waitFor();
    assert.equal(await page.locator("#newer-page").count(), 0);
    await page.getByRole("button", { name: "Use it now" }).click();
    await page.locator("#newer-page").waitFor();
    await isReady(page);
    const caches = await page.evaluate(() => globalThis.caches.keys());
    assert.equal(caches.length, 1);
    await own.close();
  }));

test("no text becomes script", () =>
  withPage({}, async (page) => {
    await page.goto(server.url);
    await isReady(page);
    const refused = await page.evaluate(() => {
      const attempts = [
        () => document.body.insertAdjacentHTML("beforeend", "<b>reed</b>"),
        () => globalThis.setTimeout("globalThis.ran = true"),
        () => globalThis.trustedTypes.createPolicy("another", {}),
      ];
      return attempts.map((attempt) => {
        try {
          attempt();
          return "allowed";
        } catch (error) {
          return error.name;
        }
      });
    });
    assert.deepEqual(refused, ["TypeError", "TypeError", "TypeError"]);
  }));

test("the back button closes what was opened and goes back through the questions", () =>
  withPage({}, async (page) => {
    await page.goto(server.url);
    await isReady(page);
    const advice = page.locator("[data-rule=dark-start-unfinished]");
    await advice.locator("summary").first().click();
    await page.waitForURL(/#now\/dark-start-unfinished$/);
    await advice.getByText("It rests on").waitFor();
    await page.goBack();
    await advice.getByText("It rests on").waitFor({ state: "hidden" });
    await page.goForward();
    await advice.getByText("It rests on").waitFor();
    await page.getByRole("link", { name: "May I?" }).click();
    await page.getByRole("heading", { name: "May I?", exact: true }).waitFor();
    assert.equal(await page.evaluate(() => document.activeElement.id), "title-may");
    assert.equal(await page.title(), "May I? · Lentic");
    await page.goBack();
    await advice.getByText("It rests on").waitFor();
    await page.goBack();
    await advice.getByText("It rests on").waitFor({ state: "hidden" });
    await page.getByRole("heading", { name: "What now?" }).waitFor();
  }));

test("what was opened stays open while the answer is worked out anew, and leaves no trail", () =>
  withPage({ viewport: { width: 1280, height: 900 } }, async (page) => {
    await page.goto(server.url);
    await isReady(page);
    for (const why of (await page.locator(".why > summary").all()).slice(0, 3)) await why.click();
    const before = await page.evaluate(() => history.length);
    await page.locator("#readings").getByLabel("pH", { exact: true }).fill("6.7");
    await page.locator("#readings").getByRole("button", { name: "Write down" }).click();
    await page.locator("#journal").getByText("pH 6.7").waitFor();
    assert.equal(await page.locator(".why[open]").count(), 3);
    assert.equal(await page.evaluate(() => history.length), before);
  }));

test("an address opens the evidence of one piece of advice", () =>
  withPage({}, async (page) => {
    await page.goto(`${server.url}#now/dark-start-unfinished`);
    await isReady(page);
    const advice = page.locator("[data-rule=dark-start-unfinished]");
    await advice.getByText("Compared with 21 days").waitFor();
    await advice.getByText("0.2 mg/L NO2").waitFor();
    await page.goto(`${server.url}#may/plant`);
    await page.getByText("Only tests show that the bacteria keep up").waitFor();
  }));

// 1 September 2026 and 21 days are 22 September 2026.
test("what time alone brings is told with its day", () =>
  withPage({}, async (page) => {
    await page.goto(`${server.url}#now`);
    await isReady(page);
    await page.getByLabel("For the day").fill("2026-09-10");
    await page.getByRole("link", { name: "May I?" }).click();
    await page.getByText("May I plant?").click();
    const gate = page.locator("[data-gate=plant]");
    await gate.getByText("Not yet").waitFor();
    await gate.getByText("Time alone meets it on 22 September 2026.").waitFor();
    await gate.getByText("Unplug heater, pump and light").waitFor();
  }));

test("the rule book can be searched, and each rule tells its verdict for this tank", () =>
  withPage({}, async (page) => {
    await page.goto(`${server.url}#rules`);
    await isReady(page);
    await page.locator("#rule-search").getByLabel("Look for").fill("trust the nitrate figure");
    await page.getByText("1 rule found.").waitFor();
    await page.locator(".rule:not([hidden]) > summary").click();
    await page.getByText("It holds.").waitFor();
    await page.getByText("Method 353.3").waitFor();
    await page.locator("#rule-search").getByLabel("Look for").fill("no such words anywhere");
    await page.getByText("No rule has all of these words.").waitFor();
  }));

// 60 cm x 40 cm x 25 cm = 60 000 cm³ = 60 L by the definition of the litre (SI brochure, 9th edition, table 8).
test("an amount is worked out in the units that were chosen", () =>
  withPage({}, async (page) => {
    await page.goto(`${server.url}#amounts/water-volume`);
    await isReady(page);
    for (const [name, value, unit] of [
      ["Inner length", "600", "mm"],
      ["Inner width", "40", "cm"],
      ["Height of the water", "0.25", "m"],
      ["Depth of the bed", "0", "cm"],
      ["Pores of the bed", "40 %"],
      ["Wood and stone", "0", "L"],
    ]) {
      await page.locator("#amounts").getByLabel(name, { exact: true }).fill(value);
      if (unit) await page.locator("#amounts").getByLabel(`${name}, unit`).selectOption(unit);
    }
    await page.getByRole("button", { name: "Work it out" }).click();
    await page.locator(".result .figure").getByText("60 L").waitFor();
  }));

// A mol of gypsum, 172.17 g, makes 1000 L harder by 5.608 degrees: 1 °dH is 0.1783 mmol/L (10 mg/L CaO, DIN 38409-6, from memory).
test("an amount is found by words, its salt is chosen, and the unit is kept for the next", () =>
  withPage({}, async (page) => {
    await page.goto(`${server.url}#amounts`);
    await isReady(page);
    await page.locator("#amount-words").fill("gypsum general");
    await page.locator("#amount-count").getByText("1 amount").waitFor();
    await page.getByRole("link", { name: "Salt that raises general hardness" }).click();
    const form = page.locator("#amounts");
    await form.getByLabel("Wanted rise", { exact: true }).fill("5.608");
    await form.getByLabel("Wanted rise, unit").selectOption("°dH");
    await form.getByLabel("Water", { exact: true }).fill("1000");
    await form.getByRole("button").click();
    await page.locator("#amount-result").getByText("Salt is missing; choose one of").waitFor();
    await form.getByLabel("Salt").selectOption("calcium-sulfate");
    await form.getByRole("button").click();
    await page.locator(".result .figure").getByText("172 g").waitFor();
    await page.locator(".result").getByText("of sulfate").waitFor();
    await page.locator(".result").getByText("Take care.").waitFor();
    await page.goto(`${server.url}#amounts/raise-kh`);
    assert.equal(await form.getByLabel("Wanted rise, unit").inputValue(), "°dH");
    await page.getByRole("link", { name: "All amounts" }).click();
    await page.locator("#amount-words").waitFor();
  }));

test("a word may stand for a figure, and a range comes out", () =>
  withPage({}, async (page) => {
    await page.goto(`${server.url}#amounts/co2-from-ph-drop`);
    await isReady(page);
    const form = page.locator("#amounts");
    await form.getByLabel("Drop of pH", { exact: true }).fill("1");
    await form.getByLabel("Air", { exact: true }).first().selectOption("room");
    await form.getByLabel("Temperature", { exact: true }).fill("25");
    await form.getByRole("button").click();
    const ranged = await page.locator(".result .figure").textContent();
    await form.getByLabel("Air", { exact: true }).first().selectOption("A figure of my own");
    await form.getByLabel("Air", { exact: true }).last().fill("450 to 1000");
    await form.getByRole("button").click();
    assert.match(ranged ?? "", / to /);
    await page
      .locator(".result .figure")
      .getByText(ranged ?? "")
      .waitFor();
  }));

test("no name of a reading or an action stands in a script of the page", async () => {
  const rules = fileURLToPath(new URL("../../rules/", import.meta.url));
  const www = fileURLToPath(new URL("../../www/", import.meta.url));
  const texts = (await readdir(rules)).filter((name) => name.endsWith(".rules"));
  const book = await Promise.all(texts.map((name) => readFile(rules + name, "utf8")));
  const names = [...book.join("\n").matchAll(/^(?:fact|action) (\S+)/gm)].map(([, name]) => name);
  assert.ok(names.length > 60);
  const scripts = (await readdir(www, { recursive: true })).filter(
    (name) => name.endsWith(".js") && !name.startsWith("pkg"),
  );
  assert.ok(scripts.length > 20);
  for (const script of scripts) {
    const text = await readFile(www + script, "utf8");
    const found = names.filter((name) =>
      new RegExp(`(?<![\\w-])${name}(?![\\w-])`, "i").exec(text),
    );
    assert.deepEqual(found, [], script);
  }
});
