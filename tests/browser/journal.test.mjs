// A keeper's own tank: described, written down, read back, kept, copied.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { test } from "node:test";
import {
  browser,
  eventually,
  isReady,
  keptTanks,
  open,
  server,
  watch,
  withSite,
} from "./support.mjs";

withSite();

const phone = { viewport: { width: 390, height: 844 } };

/** A page with an empty tank of the keeper's own, on a desk. */
const withOwnTank = (use) =>
  open(browser, { viewport: { width: 1280, height: 900 } }, async (page) => {
    await page.goto(server.url);
    await isReady(page);
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    await page.getByRole("heading", { name: "My tank" }).waitFor();
    await use(page);
  });

const kept = async (page) => (await keptTanks(page))[0];
const readings = (page) => page.locator("#readings");

async function writeReading(page, day, name, value, unit) {
  const form = readings(page);
  await form.getByLabel("Day").fill(day);
  await form.getByLabel(name, { exact: true }).fill(value);
  if (unit) await form.getByLabel(`${name}, unit`).selectOption(unit);
  await form.getByRole("button", { name: "Write down" }).click();
}

async function describeDarkStart(page) {
  await page.getByRole("radio", { name: /^Dark start/ }).check();
  await page.locator("#happening > summary").click();
  await page.getByLabel("What happened?").selectOption("filled");
  await page.locator("#event").getByLabel("Day").fill("2026-09-01");
  await page.locator("#event").getByRole("button", { name: "Write down" }).click();
  await page.getByRole("heading", { name: "Tuesday, 1 September 2026" }).waitFor();
}

async function askAbout(page, day) {
  await page.getByRole("link", { name: "What now?" }).first().click();
  await page.getByLabel("For the day").fill(day);
  await page.getByLabel("For the day").blur();
}

// 12 mg/L NH4 counts 12 x 14.007 / 18.039 = 9.32 mg/L as N (standard atomic weights, IUPAC 2021);
// 17.8 mg/L CaCO3 is 1 °dH (10 mg/L CaO by DIN 19640, 17.85 mg/L as CaCO3).
test("a dark start is described, read in the unit of the test, advised and explained", () =>
  withOwnTank(async (page) => {
    await describeDarkStart(page);
    await readings(page).getByText("More tests").click();
    await writeReading(page, "2026-09-10", "Carbonate hardness (KH)", "17.8", "mg/L CaCO3");
    await writeReading(page, "2026-09-10", "Total ammonia", "12", "mg/L NH4");
    await askAbout(page, "2026-09-10");
    const advice = page.locator("[data-rule=buffer-will-run-out]");
    await advice.getByText("there is 1 °dH").first().waitFor();
    await advice.getByText("Why?").click();
    await advice.getByText("Compared with 2 mg/L N").waitFor();
    await advice
      .locator(".value", { hasText: "Total ammonia" })
      .getByText("9.32 mg/L N")
      .first()
      .waitFor();
    await advice.getByText("typed as “12 mg/L NH4”").first().waitFor();
    await advice.getByText("typed as “17.8 mg/L CaCO3”").first().waitFor();
    await advice.locator(".sources li").first().waitFor();
  }));

test("the unit last used for a reading is remembered, and the rest is left alone", () =>
  withOwnTank(async (page) => {
    await writeReading(page, "2026-09-10", "Nitrite", "0.5", "mg/L NO2");
    await page.locator("#journal").getByText("Nitrite 0.5 mg/L NO2").waitFor();
    await page.reload();
    await isReady(page);
    const form = readings(page);
    assert.equal(await form.getByLabel("Nitrite, unit").inputValue(), "mg/L NO2");
    assert.equal(await form.getByLabel("Total ammonia, unit").inputValue(), "mg/L N");
    assert.deepEqual((await kept(page)).events, [
      { on: "2026-09-10", event: "read", values: { nitrite: "0.5 mg/L NO2" } },
    ]);
  }));

test("a reading below the first mark is written as such", () =>
  withOwnTank(async (page) => {
    await readings(page).getByLabel("less than the first mark").first().check();
    await writeReading(page, "2026-09-10", "Total ammonia", "0.25", "mg/L NH4");
    await writeReading(page, "2026-09-10", "Nitrite", "< 0.05", "mg/L NO2");
    assert.deepEqual((await kept(page)).events, [
      {
        on: "2026-09-10",
        event: "read",
        values: { "total-ammonia": "< 0.25 mg/L NH4", nitrite: "< 0.05 mg/L NO2" },
      },
    ]);
  }));

test("nonsense gets one plain sentence beside its field and is not written down", () =>
  withOwnTank(async (page) => {
    await page.setViewportSize({ width: 390, height: 844 });
    await page.goto(`${server.url}#write`);
    await writeReading(page, "2026-09-10", "Nitrite", "lots");
    const field = readings(page).locator(".field", { hasText: "Nitrite" }).first();
    await field.getByText("“lots” is not a number with its unit").waitFor();
    const input = field.getByLabel("Nitrite", { exact: true });
    assert.equal(await input.getAttribute("aria-invalid"), "true");
    // The press was far below.
    const isInView = (node) => node.getBoundingClientRect().top >= 0;
    await page.waitForFunction(isInView, await field.elementHandle());
    assert.equal(await input.evaluate((node) => node === document.activeElement), true);
    assert.deepEqual((await kept(page)).events, []);
    await input.fill("0.5");
    await input.blur();
    assert.equal(await input.getAttribute("aria-invalid"), null);
  }));

test("what `2.4 ppm` counts is asked before and after it is written down", () =>
  withOwnTank(async (page) => {
    await writeReading(page, "2026-09-10", "Total ammonia", "2.4 ppm");
    const field = readings(page).locator(".field", { hasText: "Total ammonia" }).first();
    await field.getByText("What does “2.4 ppm” count: mg/L N or mg/L NH3 or mg/L NH4?").waitFor();
    assert.deepEqual((await kept(page)).events, []);
    await field.getByLabel("Write it down as it stands").check();
    await readings(page).getByRole("button", { name: "Write down" }).click();
    await askAbout(page, "2026-09-10");
    const questions = page.locator("#questions");
    await questions.getByText("What does “2.4 ppm” count").waitFor();
    await questions.getByLabel("Total ammonia", { exact: true }).fill("2.4");
    await questions.getByLabel("Total ammonia, unit").selectOption("mg/L NH4");
    await questions.getByRole("button", { name: "Write it so" }).click();
    await questions.waitFor({ state: "hidden" });
    assert.deepEqual((await kept(page)).events[0].values, { "total-ammonia": "2.4 mg/L NH4" });
  }));

test("a reading far out of range is questioned", () =>
  withOwnTank(async (page) => {
    await writeReading(page, "2026-09-10", "pH", "71");
    await readings(page).getByText("“71” is outside 4 to 10 pH").waitFor();
    assert.deepEqual((await kept(page)).events, []);
  }));

test("animals and signs are written down, changed, taken out and put back", () =>
  withOwnTank(async (page) => {
    await page.goto(`${server.url}#write/added`);
    const form = page.locator("#event");
    await form.getByLabel("Day").fill("2026-10-01");
    await form.getByRole("button", { name: "Write down" }).click();
    await form.getByText("Choose which kind it was.").waitFor();
    await form.getByLabel("Kind").selectOption("amano-shrimp");
    await form.getByLabel("How many").fill("ten");
    await form.getByRole("button", { name: "Write down" }).click();
    await form.getByText("How many: write a whole number, such as 10.").waitFor();
    await form.getByLabel("How many").fill("10");
    await form.getByRole("button", { name: "Write down" }).click();
    const journal = page.locator("#journal");
    await journal.getByText("10 × ").waitFor();

    await journal.getByRole("link", { name: "Change Added, 1 October 2026" }).click();
    await form.getByText("Change an entry").waitFor();
    await form.getByLabel("How many").fill("12");
    await form.getByLabel("Note").fill("from the club");
    await form.getByRole("button", { name: "Write down" }).click();
    await journal.getByText("12 × ").waitFor();
    const entry = {
      on: "2026-10-01",
      event: "added",
      animals: [{ species: "amano-shrimp", count: 12 }],
      note: "from the club",
    };
    assert.deepEqual((await kept(page)).events, [entry]);

    await journal.getByRole("button", { name: "Remove Added, 1 October 2026" }).click();
    assert.deepEqual((await kept(page)).events, []);
    await page.getByRole("button", { name: "Undo" }).click();
    assert.deepEqual((await kept(page)).events, [entry]);

    await page.goto(`${server.url}#write/saw`);
    await form.getByLabel("Animals gasp at the surface").check();
    await form.getByRole("button", { name: "Write down" }).click();
    await journal.getByText("Animals gasp at the surface").waitFor();
    assert.deepEqual((await kept(page)).events[1].signs, ["gasping"]);
  }));

test("a mistake that only the engine sees is said beside its field", () =>
  withOwnTank(async (page) => {
    await page.goto(`${server.url}#write/changed-water`);
    const form = page.locator("#event");
    await form.getByLabel("Day").fill("2026-10-01");
    await form.getByRole("button", { name: "Write down" }).click();
    await form.locator("#event-says li").first().waitFor();
    await form.getByLabel("Share", { exact: true }).fill("50");
    await form.getByRole("button", { name: "Write down" }).click();
    await page.locator("#journal").getByText("50 %").waitFor();
    assert.deepEqual((await kept(page)).events, [
      { on: "2026-10-01", event: "changed-water", share: "50 %" },
    ]);
  }));

test("what is worth finding out can be written down where it is asked", () =>
  withOwnTank(async (page) => {
    await describeDarkStart(page);
    await askAbout(page, "2026-09-10");
    const wanted = page.locator("#wanted");
    const light = wanted.locator("form", { hasText: "How many hours a day" });
    await light.getByRole("textbox").fill("0");
    await light.getByRole("button", { name: "Write down" }).click();
    await light.waitFor({ state: "detached" });
    assert.equal((await kept(page)).tank["light-hours"], "0 h");
  }));

test("the example never mixes with the keeper's own tank", () =>
  withOwnTank(async (page) => {
    await writeReading(page, "2026-09-10", "pH", "7.1");
    const own = await kept(page);
    await page.getByRole("button", { name: "Look at the example" }).click();
    await page.getByText("This is an example.").waitFor();
    await writeReading(page, "2026-09-25", "pH", "6.1");
    await page.locator("#journal").getByText("pH 6.1").waitFor();
    assert.deepEqual(await kept(page), own);
    await page.getByRole("button", { name: "Back to my tank" }).click();
    await page.locator("#journal").getByText("pH 7.1").waitFor();
    assert.equal(await page.locator("#journal").getByText("pH 6.1").count(), 0);
  }));

async function savedCopy(page) {
  await page.getByRole("link", { name: "My tank" }).click();
  const copy = page.locator("#title-copies").locator("..");
  const download = page.waitForEvent("download");
  await copy.getByRole("button", { name: "Save a copy", exact: true }).click();
  return readFile(await (await download).path(), "utf8");
}

const openCopy = (page, name, text) =>
  page
    .locator("#import-file")
    .setInputFiles({ name, mimeType: "application/json", buffer: Buffer.from(text) });

test("a saved copy opens elsewhere as the same journal, and what it replaces stays beside it", () =>
  withOwnTank(async (page) => {
    await describeDarkStart(page);
    await writeReading(page, "2026-09-10", "pH", "7.1");
    const copy = await savedCopy(page);
    const journal = await kept(page);
    assert.deepEqual(JSON.parse(copy), journal);

    await writeReading(page, "2026-09-11", "pH", "7.2");
    const own = await kept(page);
    await openCopy(page, "copy.json", copy);
    const preview = page.locator("#bring");
    await preview.getByText("2 entries").first().waitFor();
    await preview.getByText("Nothing in it is new.").waitFor();
    await preview.getByRole("button", { name: "Leave everything as it is" }).click();
    assert.deepEqual(await keptTanks(page), [own]);
    await openCopy(page, "copy.json", copy);
    await preview.getByLabel("Put it in place of A tank without a name").check();
    await preview.getByRole("button", { name: "Do as chosen" }).click();
    await page.getByText("It is brought in.").waitFor();
    const before = { ...own, name: "A tank without a name, before" };
    const byName = (all) => all.sort((a, b) => Object.keys(a).length - Object.keys(b).length);
    await eventually(async () =>
      assert.deepEqual(byName(await keptTanks(page)), [journal, before]),
    );
    await page.getByRole("button", { name: "Undo" }).click();
    await eventually(async () => assert.deepEqual(byName(await keptTanks(page)), [own, before]));
  }));

test("a copy that is wrong has every mistake named and changes nothing", () =>
  withOwnTank(async (page) => {
    await writeReading(page, "2026-09-10", "pH", "7.1");
    const before = await kept(page);
    const mistakes = page.locator("#import-mistakes");
    const wrong = {
      format: "lentic-journal/1",
      tank: { "glas-length": "60 cm", start: "dusk" },
      events: [
        { on: "2026-13-01", event: "filled" },
        { on: "2099-01-01", event: "read", values: { nitrite: "lots" } },
      ],
      __proto__x: "<img src=x onerror=alert(1)>",
    };
    await openCopy(page, "wrong.json", JSON.stringify(wrong));
    await mistakes.getByText("wrong.json was not opened").waitFor();
    assert.equal(await mistakes.getByRole("listitem").count(), 2);
    await mistakes.getByText("2026-13-01").waitFor();
    await mistakes.getByText("__proto__x").first().waitFor();

    delete wrong.__proto__x;
    wrong.events[0].on = "2026-09-01";
    await openCopy(page, "wrong.json", JSON.stringify(wrong));
    await mistakes.getByText("Did you mean “glass-length”?", { exact: false }).waitFor();
    await mistakes.getByText("dusk").waitFor();
    await mistakes.getByText("lots").waitFor();

    for (const text of [
      "",
      "[",
      "[1, 2]",
      "null",
      "[".repeat(100_000),
      '{"format":"lentic-journal/9"}',
    ]) {
      await openCopy(page, "hostile.json", text);
      await mistakes.getByText("hostile.json was not opened").waitFor();
      assert.ok((await mistakes.getByRole("listitem").count()) > 0, text.slice(0, 40));
      await openCopy(page, "wrong.json", JSON.stringify(wrong));
      await mistakes.getByText("wrong.json was not opened").waitFor();
    }
    assert.deepEqual(await kept(page), before);
  }));

const inDanger = {
  format: "lentic-journal/1",
  tank: { start: "planted", bed: "releasing" },
  events: [
    { on: "2026-09-01", event: "filled" },
    { on: "2026-09-10", event: "added", animals: [{ species: "otocinclus", count: 4 }] },
    { on: "2026-09-15", event: "read", values: { "total-ammonia": "2.4 ppm" } },
    { on: "2026-09-15", event: "saw", signs: ["wet-socket"] },
  ],
};

test("danger comes first, with its cautions, and what lost is named with who beat it", () =>
  withOwnTank(async (page) => {
    await openCopy(page, "copy.json", JSON.stringify(inDanger));
    await page.getByRole("button", { name: "Do as chosen" }).click();
    await page.locator("#journal").getByText("2.4 ppm").waitFor();
    await askAbout(page, "2026-09-15");
    const first = page.locator(".advice").first();
    await first.getByText("Danger: act at once").waitFor();
    await first.getByText("Take care.").first().waitFor();
    const before = await page.evaluate(() => {
      const [list, questions] = ["advices", "questions"].map((id) => document.getElementById(id));
      return list.compareDocumentPosition(questions) & Node.DOCUMENT_POSITION_FOLLOWING;
    });
    assert.ok(before, "a question stands before the danger");
    await page.locator("#set-aside summary").click();
    const lost = page.locator("#set-aside li").first();
    await lost.getByText("Set aside by:").waitFor();
    assert.match(await lost.getByRole("link").first().getAttribute("href"), /^#rules\//);
  }));

test("without storage the page says so and goes on", () =>
  open(browser, phone, async (page) => {
    await page.addInitScript(() => {
      for (const name of ["localStorage", "indexedDB"])
        Object.defineProperty(globalThis, name, {
          get: () => {
            throw new DOMException("no", "SecurityError");
          },
        });
    });
    await page.goto(server.url);
    await isReady(page);
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    await page.getByText("This browser does not let the page keep anything.").waitFor();
    await page.getByRole("link", { name: "Write down" }).last().click();
    await writeReading(page, "2026-09-10", "pH", "7.1");
    await page.getByRole("link", { name: "Write down" }).last().click();
    await page.locator("#journal").getByText("pH 7.1").waitFor();
  }));

test("a text that is no journal is put aside, not overwritten", () =>
  open(browser, {}, async (page) => {
    await page.addInitScript(() => {
      if (!sessionStorage.getItem("torn")) localStorage.setItem("lentic journal", "{ torn");
      sessionStorage.setItem("torn", "yes");
    });
    await page.goto(server.url);
    await isReady(page);
    await page.getByText("could not be read, so it was put aside").waitFor();
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    await page.reload();
    await isReady(page);
    const download = page.waitForEvent("download");
    await page.getByRole("button", { name: "Save it as a file" }).click();
    assert.equal(await readFile(await (await download).path(), "utf8"), "{ torn");
  }));

test("when the engine cannot be had, the page says so and still saves a copy", () =>
  open(browser, { ...phone, serviceWorkers: "block" }, async (page) => {
    await page.addInitScript(() => {
      const journal = {
        format: "lentic-journal/1",
        tank: {},
        events: [{ on: "2026-09-01", event: "filled" }],
      };
      localStorage.setItem("lentic journal", JSON.stringify(journal));
    });
    await page.route("**/*.wasm", (route) => route.abort());
    await page.goto(server.url);
    await page.getByText("The advisor could not be set going in this browser").waitFor();
    assert.equal(JSON.parse(await savedCopy(page)).events.length, 1);
    await page.getByRole("link", { name: "Write down" }).last().click();
    await page.getByRole("heading", { name: "Tuesday, 1 September 2026" }).waitFor();
  }));

test("another window of the same browser is followed", () =>
  withOwnTank(async (page) => {
    const other = await page.context().newPage();
    await other.setViewportSize({ width: 1280, height: 900 });
    await other.goto(server.url);
    await isReady(other);
    await writeReading(other, "2026-09-10", "pH", "7.1");
    await page.locator("#journal").getByText("pH 7.1").waitFor();
  }));

test("nothing complains on the whole way", () =>
  withOwnTank(async (page) => {
    const seen = watch(page);
    await describeDarkStart(page);
    for (const name of ["What now?", "May I?", "Amounts", "The rule book", "My tank"]) {
      await page.getByRole("link", { name }).first().click();
      await page.getByRole("heading", { name, level: 2 }).waitFor();
    }
    assert.deepEqual(seen.complaints, []);
  }));

test("of a tank the first questions are asked, what is answered stays in sight, and the rest folds away", () =>
  withOwnTank(async (page) => {
    const groups = page.locator("#profile-groups .group");
    const open = groups.locator(":scope > .fields > *");
    const folded = groups.locator("details .fields > *");
    assert.ok((await open.count()) < 30, `${await open.count()} questions at once`);
    assert.ok((await folded.count()) > 20);
    const fold = groups.first().locator("details").first();
    await fold.locator("summary").click();
    const field = await fold.locator(".fields > :has(input[type=radio])").first().elementHandle();
    const isFolded = () => field.evaluate((node) => node.closest("details") !== null);
    await (await field.$("input[type=radio]")).check();
    assert.ok(await isFolded(), "it stays where it is while it is in use");
    await page.getByRole("link", { name: "Amounts" }).click();
    await page.getByRole("link", { name: "My tank" }).click();
    await page.getByRole("heading", { name: "My tank" }).waitFor();
    assert.ok(!(await isFolded()), "answered, it stands in sight");
  }));
