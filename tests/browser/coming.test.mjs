// What lies ahead: the water, the coming weeks, ways to begin, and what may live in the tank.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtemp, readFile, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import {
  assertAccessible,
  browser,
  isReady,
  keptTanks,
  open,
  saved,
  serve,
  server,
  waitUntilKept,
  watch,
  withSite,
} from "./support.mjs";

withSite();

const at = (name) => fileURLToPath(new URL(`../../${name}`, import.meta.url));
const desk = { viewport: { width: 1280, height: 900 } };
const { on, journal } = JSON.parse(await readFile(at("www/demo.json"), "utf8"));

/** What the program answers about the example. */
async function program(verb, ...words) {
  const folder = await mkdtemp(path.join(tmpdir(), "lentic-"));
  const file = path.join(folder, "journal.json");
  await writeFile(file, JSON.stringify(journal));
  const all = [verb, file, ...words, "--on", on];
  try {
    return execFileSync(at("target/debug/lentic"), all, { encoding: "utf8", stdio: "pipe" });
  } catch (error) {
    // What needs attention is told by the exit code, too.
    if (error.stdout) return error.stdout;
    throw error;
  }
}

const told = async (verb, ...words) => JSON.parse(await program(verb, ...words, "--json"));

/** Three figures, as the page writes them. */
const figure = (value) => String(Number(value.toPrecision(3)) + 0);

const isDone = (page) =>
  page.locator(".view:not([hidden]) [aria-busy]").waitFor({ state: "detached" });

/** Opens an address of the page and goes on once the answer is there. */
const withView = (hash, use, options = desk) =>
  open(browser, options, async (page) => {
    const seen = watch(page);
    await page.goto(server.url + hash);
    await isReady(page);
    await isDone(page);
    await use(page, seen);
  });

const cellsOf = (page, figures, index) =>
  page
    .locator(figures)
    .nth(index)
    .locator("tbody tr")
    .evaluateAll((rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent)));

test("each reading is told by a sentence, a picture and a table with the program's figures", () =>
  withView("#coming", async (page, seen) => {
    const forecast = await told("forecast");
    await page.getByText(forecast.say).waitFor();
    const figures = page.locator(".figure-over-days");
    assert.equal(await figures.count(), forecast.curves.length + 1);
    for (const [index, curve] of forecast.curves.entries()) {
      const one = figures.nth(index + 1);
      assert.ok((await one.locator("h3").textContent()).startsWith(curve.label));
      assert.match(await one.locator(".reads").textContent(), /\d/);
      assert.equal(await one.locator(".reading").count(), curve.readings.length);
      await one.locator("summary").click();
      await one.locator("tbody tr").first().waitFor();
      const cells = await cellsOf(page, ".figure-over-days", index + 1);
      const wanted = curve.bands.map(([lowest, low, middle, high, highest]) => [
        figure(middle),
        `${figure(low)} to ${figure(high)}`,
        `${figure(lowest)} to ${figure(highest)}`,
      ]);
      assert.deepEqual(
        cells.map((row) => row.slice(1)),
        wanted,
      );
      const read = cells.filter(([day]) => day.includes("read")).length;
      assert.ok(read > 0 && read <= curve.readings.length);
    }
    const picture = page.getByRole("img", { name: forecast.curves[0].label });
    assert.equal(await picture.count(), 1);
    await figures.first().locator("summary").click();
    await figures.first().locator("tbody tr").first().waitFor();
    const chances = await cellsOf(page, ".figure-over-days", 0);
    const from = forecast.days.indexOf(on);
    const wanted = forecast.done.chance.slice(from).map((share) => `${Math.round(share * 100)} %`);
    assert.deepEqual(
      chances.map(([, share]) => share),
      wanted,
    );
    for (const { label, taken } of forecast.assumed)
      await page.locator(".assumed li", { hasText: `${label}: ${taken}` }).waitFor();
    for (const { label } of forecast.next)
      await page.locator("[data-piece=next] li", { hasText: label }).waitFor();
    assert.equal(
      await page.locator("[data-piece=causes] li").count(),
      forecast.agreement.causes.length,
    );
    assert.deepEqual(seen.complaints, []);
  }));

test("what was assumed leads to the question that replaces it, and back", () =>
  withView("#coming", async (page) => {
    const link = page.locator(".assumed a").first();
    const label = await link.textContent();
    await link.click();
    await page.getByRole("heading", { name: "My tank" }).waitFor();
    const focused = page.locator("#profile-groups :focus");
    await focused.waitFor();
    assert.equal(await page.evaluate(() => location.hash.startsWith("#tank/")), true);
    await page.keyboard.type("0.3");
    await page.keyboard.press("Tab");
    await page.goBack();
    await page.getByRole("heading", { name: "What is coming?" }).waitFor();
    await isDone(page);
    assert.equal(await page.locator(".assumed a", { hasText: label }).count(), 0);
  }));

test("the coming weeks hold what the program plans, and a calendar file to the byte", () =>
  withView("#weeks", async (page) => {
    const plan = await told("plan");
    await page.getByText(plan.say).waitFor();
    const items = page.locator(".plan-item");
    assert.equal(await items.count(), plan.items.length);
    const shown = await items.evaluateAll((all) =>
      all.map((item) => [
        item.querySelector("strong").textContent,
        item.querySelector(".amount")?.textContent ?? null,
        item.querySelector(".unsure").textContent.startsWith("sure"),
      ]),
    );
    assert.deepEqual(
      shown,
      plan.items.map((item) => [item.action_label, item.amount, item.sure]),
    );
    assert.equal(
      await page.locator(".plan-day").count(),
      new Set(plan.items.map(({ date }) => date)).size,
    );
    for (const { action_label, say } of plan.milestones)
      await page.getByText(`${action_label}: ${say}.`).waitFor();
    await items.first().locator("summary").click();
    await items.first().getByText(plan.items[0].because).waitFor();
    const file = await saved(page, "Save as a calendar file");
    assert.match(file.name, /^lentic-plan-.*\.ics$/);
    assert.equal(file.text, await program("plan", "--ics"));
  }));

test("the sheet for the wall has the plan on its days", () =>
  withView("#weeks", async (page) => {
    const plan = await told("plan");
    await page.evaluate(() => {
      globalThis.print = () => {};
    });
    await page.getByRole("button", { name: "Print a sheet for the wall" }).last().click();
    const days = await page.locator("#wall tbody th").allTextContents();
    assert.ok(days.some((day) => day.includes(plan.items[0].action_label)));
  }));

test("the ways to begin are compared at the keeper's own prices, as the program does", () =>
  withView("#ways", async (page) => {
    const plain = await told("compare");
    assert.equal(await page.getByText("Cost at your prices").count(), 0);
    await page.getByText("At your own prices").click();
    await page.getByLabel("All the plants").fill("a lot");
    await page.getByRole("button", { name: "Compare" }).click();
    await page.getByText("Write a plain number").waitFor();
    await page.getByLabel("All the plants").fill("40");
    await page.getByLabel("A litre of new water").fill("0,01");
    await page.getByLabel("Minutes that one water change takes you").fill("30");
    await page.getByRole("button", { name: "Compare" }).click();
    await page.getByText("Cost at your prices").waitFor();
    const priced = await told("compare", "plants=40", "water-litre=0.01", "change-minutes=30");
    const words = ({ low, middle, high }, days) => {
      const one = (value) => (value === null ? `more than ${days}` : figure(value));
      const isOne = low === middle && middle === high;
      return isOne ? one(middle) : `${one(middle)} (${one(low)} to ${one(high)})`;
    };
    for (const [title, name] of [
      ["Water in litres, the first filling included", "litres"],
      ["Water changes", "changes"],
      ["Hours for the water changes", "hours"],
      ["Cost at your prices", "cost"],
      ["Days until fish may come", "days_to_fish"],
    ]) {
      const cells = await page
        .locator(".spans")
        .filter({ has: page.getByText(title, { exact: true }) })
        .locator("td")
        .allTextContents();
      assert.deepEqual(
        cells,
        priced.starts.map((way) => words(way[name], priced.days)),
      );
    }
    const [first] = plain.starts;
    await page.getByText(first.plants.at(-1).label).waitFor();
    await page.reload();
    await isReady(page);
    await isDone(page);
    await page.getByText("Cost at your prices").waitFor();
  }));

test("plants and animals are chosen, held against the tank and each other, and ordered", () =>
  withView("#life", async (page) => {
    for (const [words, name] of [
      ["neon", "Neon tetra"],
      ["java fern", "Java fern"],
    ]) {
      await page.locator("#species-words").fill(words);
      await page.locator("#species").getByRole("button", { name }).first().click();
    }
    await page.locator("#species-words").fill("no such thing");
    await page.getByText("The book has no kind with all of these words.").waitFor();
    await page.getByLabel("How many").first().fill("some");
    await page.getByLabel("How many").first().blur();
    await page.locator(".wish").getByText("write a whole number").waitFor();
    await page.getByLabel("How many").first().fill("10");
    await page.getByLabel("How many").first().blur();
    const fit = await told("fit", "--with", "neon-tetra x 10, java-fern");
    await page.locator(".one-fit", { hasText: "10 wanted" }).waitFor();
    const labels = await page.locator(".one-fit h4 > :first-child").allTextContents();
    assert.deepEqual(
      labels.slice(0, fit.species.length),
      fit.species.map(({ label }) => label),
    );
    for (const point of fit.species.flatMap(({ clashes }) => clashes))
      await page.getByText(point.finding).first().waitFor();
    const steps = await page.locator(".fit ol strong").allTextContents();
    assert.deepEqual(
      steps,
      fit.steps.map(({ count, label }) => `${count} × ${label}`),
    );
    await page.getByRole("button", { name: "Leave out Neon tetra" }).click();
    assert.equal(await page.evaluate(() => document.activeElement.id), "title-wishes");
    assert.equal(await page.locator(".fit ol").count(), 0);
  }));

test("a map of two readings says of each pair what the engine says of it", () =>
  withView("#map", async (page, seen) => {
    const field = page.locator("#map .cells-field");
    assert.equal(await field.locator(".here").count(), 1);
    const choices = await page.locator("#map-of option").allTextContents();
    assert.ok(choices.length > 10);
    await page.locator("#map-of").selectOption({ index: 0 });
    await isDone(page);
    await page.locator("#map summary").click();
    await page.locator("#map tbody tr").first().waitFor();
    const [[first, row]] = await cellsOf(page, "#map figure", 0);
    const [, value, says] = /^(.+?)(?: to .+?)?: ([^;]+)/.exec(row);
    const names = await page
      .locator("#map-across, #map-up")
      .evaluateAll((selects) => selects.map((select) => select.value));
    const tried = structuredClone(journal);
    const values = { [names[0]]: value, [names[1]]: first };
    tried.events.push({ on, at: "23:59", event: "read", values });
    const folder = await mkdtemp(path.join(tmpdir(), "lentic-"));
    const file = path.join(folder, "journal.json");
    await writeFile(file, JSON.stringify(tried));
    const words = ["advise", file, "--on", on, "--json"];
    const { advice } = JSON.parse(execFileSync(at("target/debug/lentic"), words));
    const urgencies = { danger: "danger: act at once", note: "to bear in mind" };
    const { urgency } = advice[0];
    assert.equal(says, urgencies[urgency] ?? urgency);
    await page.locator("#map-up").selectOption(names[0]);
    await page.getByText("Choose two different readings.").waitFor();
    await page.locator("#map-up").selectOption({ index: 3 });
    await isDone(page);
    assert.deepEqual(seen.complaints, []);
    await page.locator("#view-map").getByRole("link", { name: "One answer moved" }).click();
    await page.getByRole("heading", { name: "What if?" }).waitFor();
  }));

test("the back button goes through the views, each with an address of its own", () =>
  withView("#now", async (page) => {
    const nav = page.getByRole("navigation", { name: "Questions" });
    await nav.getByRole("link", { name: "What is coming?" }).click();
    await page.locator("#view-coming").getByRole("link", { name: "The coming weeks" }).click();
    await page.locator("#view-weeks").getByRole("link", { name: "Ways to start" }).click();
    await page.locator("#title-ways:focus").waitFor();
    assert.equal(
      await nav.getByRole("link", { name: "What is coming?" }).getAttribute("aria-current"),
      "true",
    );
    await page.goBack();
    await page.getByRole("heading", { name: "The coming weeks" }).waitFor();
    await page.goBack();
    await page.getByRole("heading", { name: "What is coming?" }).waitFor();
    await page.goBack();
    await page.getByRole("heading", { name: "What now?" }).waitFor();
  }));

test("the same question is answered once, and what is said aloud is quiet", () =>
  withView("#coming", async (page) => {
    const says = page.locator("#forecast [role=status]");
    assert.equal(await says.textContent(), "Worked out for 25 September 2026.");
    const first = await page.locator("#forecast figure").first().elementHandle();
    await page.goto(`${server.url}#may`);
    await page.goto(`${server.url}#coming`);
    assert.equal(await first.evaluate((node) => node.isConnected), true);
  }));

test("the page goes on while the worker works", () =>
  open(browser, desk, async (page) => {
    await page.goto(server.url);
    await isReady(page);
    const longest = await page.evaluate(async () => {
      let last = performance.now();
      let most = 0;
      const ticking = setInterval(() => {
        most = Math.max(most, performance.now() - last);
        last = performance.now();
      }, 5);
      location.hash = "#coming";
      const isBusy = () => document.querySelector("#forecast [aria-busy]");
      await new Promise((begun) => setTimeout(begun, 100));
      const wasBusy = Boolean(isBusy());
      while (isBusy()) await new Promise((passed) => setTimeout(passed, 20));
      clearInterval(ticking);
      return [wasBusy, document.querySelectorAll("#forecast figure").length > 0, most];
    });
    assert.deepEqual(longest.slice(0, 2), [true, true]);
  }));

test("a worker that dies is told in a sentence, nothing is lost, and it can be tried again", () =>
  open(browser, desk, async (page) => {
    let isBroken = true;
    const own = await serve((name, body) =>
      isBroken && name === "/forecast-worker.js"
        ? "addEventListener('message', ({ data }) => { if (!data.source) throw new Error('gone'); });"
        : body,
    );
    await page.goto(own.url);
    await isReady(page);
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    await page.getByLabel("Name of the tank").fill("Alder pool");
    await page.getByLabel("Name of the tank").blur();
    await page.goto(`${own.url}#coming`);
    const alert = page.locator("#forecast [role=alert]");
    await alert.getByText("Nothing you wrote is lost").waitFor();
    assert.equal(await page.locator("#forecast [aria-busy]").count(), 0);
    assert.equal((await keptTanks(page))[0].name, "Alder pool");
    await page.goto(`${own.url}#now`);
    await page.locator(".advice").first().waitFor();
    await page.goto(`${own.url}#weeks`);
    await page.locator("#plan [role=alert]").getByText("Nothing you wrote is lost").waitFor();
    isBroken = false;
    await page.goto(`${own.url}#coming`);
    // The broken file may stand in the page's own cache.
    await page.evaluate(async () => {
      for (const name of await caches.keys()) {
        const cache = await caches.open(name);
        await cache.delete(new URL("forecast-worker.js", location.href));
      }
    });
    await page.locator("#forecast").getByRole("button", { name: "Try again" }).click();
    await page.locator("#forecast figure").first().waitFor();
    assert.equal(await alert.isVisible(), false);
    await own.close();
  }));

test("it looks ahead without a network, and from a disk as one file", () =>
  open(browser, desk, async (page) => {
    const own = await serve();
    await page.goto(own.url);
    await isReady(page);
    await waitUntilKept(page);
    await own.close();
    await page.goto(`${own.url}#coming`);
    await page.reload();
    await page.locator("#forecast figure").first().waitFor();
    const seen = watch(page);
    await page.goto(`${pathToFileURL(at("target/lentic.html")).href}#weeks`);
    await page.locator(".plan-item").first().waitFor();
    assert.deepEqual(seen.complaints, []);
  }));

test("entries that cannot be read are told here, too", () =>
  open(browser, desk, async (page) => {
    await page.goto(`${server.url}#tank`);
    await isReady(page);
    const wrong = structuredClone(journal);
    wrong.events[1].values[Object.keys(wrong.events[1].values)[0]] = "3 furlongs";
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    await page.evaluate(
      (tank) =>
        new Promise((done) => {
          const asked = indexedDB.open("lentic");
          asked.onsuccess = () => {
            const store = asked.result.transaction("tanks", "readwrite").objectStore("tanks");
            const all = store.getAll();
            all.onsuccess = () => {
              store.put({ ...all.result[0], journal: tank }).onsuccess = () => {
                asked.result.close();
                done();
              };
            };
          };
        }),
      wrong,
    );
    for (const [hash, holder] of [
      ["#coming", "#forecast"],
      ["#weeks", "#plan"],
      ["#ways", "#comparison"],
    ]) {
      await page.goto("about:blank");
      await page.goto(server.url + hash);
      await isReady(page);
      await page.locator(holder).getByText("furlongs").waitFor();
    }
  }));

const views = ["#coming", "#weeks", "#ways", "#life", "#map"];

/** Opens everything that is folded in the view. */
const unfold = (page) =>
  page.evaluate(() => {
    for (const node of document.querySelectorAll(".view:not([hidden]) details")) node.open = true;
  });

for (const options of [
  { colorScheme: "light", viewport: { width: 390, height: 844 } },
  { colorScheme: "dark", viewport: { width: 1280, height: 900 } },
  { forcedColors: "active", reducedMotion: "reduce", viewport: { width: 320, height: 640 } },
]) {
  const name = Object.values(options).slice(0, -1).join(", ");
  test(`axe finds nothing wrong in ${name}, and nothing scrolls sideways`, () =>
    open(browser, options, async (page) => {
      for (const hash of views) {
        await page.goto("about:blank");
        await page.goto(server.url + hash);
        await isReady(page);
        await isDone(page);
        if (hash === "#life")
          for (const button of await page
            .locator("#species button")
            .all()
            .then((all) => all.slice(0, 3)))
            await button.evaluate((node) => node.click());
        await unfold(page);
        await assertAccessible(page, hash);
        const excess = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        );
        assert.equal(excess, 0, hash);
        // 44 px by 44 px (WCAG 2.2, 2.5.5); words inside a sentence are exempt there.
        const small = await page.evaluate(() =>
          [...document.querySelectorAll("main :is(button, select, summary, input), .aspects a")]
            .filter((node) => node.checkVisibility() && !node.matches("label input"))
            .filter((node) => node.getBoundingClientRect().height < 44)
            .map((node) => node.outerHTML.slice(0, 80)),
        );
        assert.deepEqual(small, [], hash);
      }
    }));
}

test("the keyboard alone gets to the figures and to a choice of animals", () =>
  withView("#coming", async (page) => {
    const tabTo = async (isThere) => {
      for (let presses = 0; presses < 200; presses += 1) {
        await page.keyboard.press("Tab");
        if (await page.evaluate(isThere)) return;
      }
      assert.fail("the keyboard never got there");
    };
    await page.locator("#title-coming").focus();
    await tabTo(() => document.activeElement.matches("#forecast figure summary"));
    await page.keyboard.press("Enter");
    await page.locator("#forecast figure tbody tr").first().waitFor();
    await page.goto(`${server.url}#life`);
    await page.locator("#title-life").focus();
    await tabTo(() => document.activeElement.id === "species-words");
    await page.keyboard.type("neon");
    await tabTo(() => document.activeElement.matches("#species button"));
    await page.keyboard.press("Enter");
    await page.locator(".wish").waitFor();
    await page
      .locator("#species-says")
      .getByText("is among what is wanted")
      .waitFor({ state: "attached" });
  }));
