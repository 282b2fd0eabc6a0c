// Several tanks, kept where two windows, a full disk and other versions of the page cannot lose them.
import assert from "node:assert/strict";
import { test } from "node:test";
import { browser, isReady, keptTanks, open, saved, server, withSite } from "./support.mjs";

withSite();

const desk = { viewport: { width: 1280, height: 900 } };

const withPage = (use, options = desk) =>
  open(browser, options, async (page) => {
    await page.goto(server.url);
    await isReady(page);
    await use(page);
  });

async function beginTank(page, name) {
  await page.getByLabel("Name of the tank").fill(name);
  await page.getByLabel("Name of the tank").blur();
}

async function writeReading(page, day, name, value) {
  const form = page.locator("#readings");
  await form.getByLabel("Day").fill(day);
  await form.getByLabel(name, { exact: true }).fill(value);
  await form.getByRole("button", { name: "Write down" }).click();
}

const openFile = (page, name, text) =>
  page
    .locator("#import-file")
    .setInputFiles({ name, mimeType: "text/plain", buffer: Buffer.from(text) });

const begun = (use) =>
  withPage(async (page) => {
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    await beginTank(page, "Alder pool");
    await use(page);
  });

test("several tanks stand side by side, and each is found again", () =>
  begun(async (page) => {
    await writeReading(page, "2026-09-10", "pH", "7.1");
    await page.getByRole("button", { name: "Begin another tank" }).click();
    await beginTank(page, "Birch bowl");
    await writeReading(page, "2026-09-11", "pH", "6.4");
    await page.getByRole("link", { name: "What now?" }).first().click();
    await page.getByLabel("Tank", { exact: true }).selectOption("Alder pool");
    await page.locator("#journal").getByText("pH 7.1").waitFor();
    await page.reload();
    await isReady(page);
    await page.locator("#journal").getByText("pH 7.1").waitFor();
    await page.getByRole("link", { name: "My tank" }).click();
    await page.getByRole("button", { name: "Open Birch bowl" }).click();
    await page.locator("#journal").getByText("pH 6.4").waitFor();
    await page.getByRole("button", { name: "Forget Birch bowl" }).click();
    const dialog = page.getByRole("dialog", { name: "Forget Birch bowl?" });
    await dialog.getByRole("button", { name: "Forget it", exact: true }).click();
    await page.locator("#journal").getByText("pH 7.1").waitFor();
    assert.deepEqual(
      (await keptTanks(page)).map(({ name }) => name),
      ["Alder pool"],
    );
  }));

test("two windows at once lose no entry, and each follows the other", () =>
  begun(async (page) => {
    const other = await page.context().newPage();
    await other.goto(server.url);
    await isReady(other);
    // Neither window has heard of the other when both are pressed.
    await Promise.all([
      writeReading(page, "2026-09-10", "pH", "7.1"),
      writeReading(other, "2026-09-11", "pH", "7.2"),
    ]);
    await Promise.all([
      page.locator("#journal").getByText("pH 7.2").waitFor(),
      other.locator("#journal").getByText("pH 7.1").waitFor(),
    ]);
    await page.getByRole("button", { name: "Undo" }).click();
    await other.locator("#journal").getByText("pH 7.1").waitFor({ state: "hidden" });
    const [{ events }] = await keptTanks(page);
    assert.deepEqual(
      events.map(({ values }) => values),
      [{ ph: "7.2" }],
    );
  }));

test("what an older version of the page kept is taken over, once", () =>
  open(browser, desk, async (page) => {
    await page.addInitScript(() => {
      if (sessionStorage.getItem("old")) return;
      sessionStorage.setItem("old", "yes");
      const journal = {
        format: "lentic-journal/1",
        name: "Old pool",
        tank: {},
        events: [{ on: "2026-09-01", event: "filled" }],
      };
      localStorage.setItem("lentic journal", JSON.stringify(journal));
    });
    for (let visit = 0; visit < 2; visit += 1) {
      await page.goto(server.url);
      await isReady(page);
      await page.locator("#whose").getByText("Old pool").waitFor();
      assert.equal((await keptTanks(page)).length, 1);
    }
    assert.equal(await page.evaluate(() => localStorage.getItem("lentic journal")), null);
  }));

test("what a newer version of the page kept is left as it is, with a sentence", () =>
  open(browser, desk, async (page) => {
    await page.goto(`${server.url}icon.svg`);
    const newer = { format: "lentic-journal/9", name: "Future pool", waves: [1, 2] };
    await page.evaluate(
      (journal) =>
        new Promise((done) => {
          const request = indexedDB.open("lentic", 1);
          request.onupgradeneeded = () => {
            request.result.createObjectStore("tanks", { keyPath: "id" });
            request.result.createObjectStore("aside", { autoIncrement: true });
          };
          request.onsuccess = () => {
            const change = request.result.transaction("tanks", "readwrite");
            change.objectStore("tanks").put({ id: "f", journal });
            change.oncomplete = () => {
              request.result.close();
              done();
            };
          };
        }),
      newer,
    );
    await page.goto(`${server.url}#tank`);
    await isReady(page);
    await page.getByText("kept by a newer version of this page").waitFor();
    await page.getByRole("button", { name: "Begin another tank" }).click();
    await beginTank(page, "Alder pool");
    const tanks = await keptTanks(page);
    assert.deepEqual(
      tanks.find(({ name }) => name === "Future pool"),
      newer,
    );

    await page.goto(`${server.url}icon.svg`);
    await page.evaluate(
      () =>
        new Promise((done) => {
          const request = indexedDB.open("lentic", 7);
          request.onsuccess = () => {
            request.result.close();
            done();
          };
        }),
    );
    await page.goto(server.url);
    await isReady(page);
    await page.getByText("A newer version of this page has kept tanks in this browser").waitFor();
    assert.equal((await keptTanks(page)).length, 2);
  }));

test("when the disk is full it is said, nothing leaves the screen, and it is kept once there is room", () =>
  begun(async (page) => {
    await page.evaluate(() => {
      globalThis.put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function refused() {
        this.transaction.abort();
        throw new DOMException("full", "QuotaExceededError");
      };
    });
    await writeReading(page, "2026-09-10", "pH", "7.1");
    await page.getByText("This browser has no more room").waitFor();
    await page.locator("#journal").getByText("pH 7.1").waitFor();
    assert.deepEqual((await keptTanks(page))[0].events, []);
    await page.evaluate(() => {
      IDBObjectStore.prototype.put = globalThis.put;
    });
    await writeReading(page, "2026-09-11", "pH", "7.2");
    await page.getByText("This browser has no more room").waitFor({ state: "hidden" });
    await page.locator("#journal").getByText("pH 7.1").waitFor();
    assert.equal((await keptTanks(page))[0].events.length, 2);
  }));

test("all tanks are saved in one file and brought in elsewhere", () =>
  begun(async (page) => {
    await page.getByRole("button", { name: "Begin another tank" }).click();
    await beginTank(page, "Birch bowl");
    const { text } = await saved(page, "Save all tanks");
    await withPage(async (other) => {
      await other.goto(`${server.url}#tank`);
      await openFile(other, "tanks.json", text);
      await other.getByText("What tanks.json holds").waitFor();
      await other.getByRole("button", { name: "Do as chosen" }).click();
      await other.getByRole("button", { name: "Open Alder pool" }).waitFor();
      const names = (await keptTanks(other)).map(({ name }) => name).sort();
      assert.deepEqual(names, ["Alder pool", "Birch bowl"]);
      const hostile = {
        format: "lentic-set/1",
        tanks: [{ format: "lentic-journal/1", tank: {}, events: [{ on: "soon" }] }],
      };
      await openFile(other, "bad.json", JSON.stringify(hostile));
      await other.locator("#import-mistakes").getByText("tanks[0].events[0]").first().waitFor();
      await openFile(other, "new.json", '{"format":"lentic-set/2"}');
      await other.getByText("This page does not know the format “lentic-set/2”").waitFor();
    });
  }));

// RFC 4180: CRLF between lines, quotation marks around cells with commas, quotes or line breaks.
test("readings are saved as a table by RFC 4180 and come back from one", () =>
  begun(async (page) => {
    await writeReading(page, "2026-09-10", "Nitrite", "< 0.05 mg/L NO2");
    await writeReading(page, "2026-09-10", "pH", "7.1");
    const { text, name } = await saved(page, "Save the readings as a table");
    assert.match(name, /^lentic-alder-pool-.*\.csv$/);
    assert.equal(
      text,
      "Day,Time,Reading,Value with unit\r\n" +
        "2026-09-10,,Nitrite,< 0.05 mg/L NO2\r\n" +
        "2026-09-10,,pH,7.1\r\n",
    );
    const more = `\ufeff"Reading";"Day";"Value with unit"\n"pH";2026-09-10;7.1\npH;2026-09-11;"7,2"\nNitrite;2026-09-10;0.1 mg/L NO2\n`;
    await openFile(page, "more.csv", more);
    const preview = page.locator("#bring");
    await preview.getByText("2 entries are new").first().waitFor();
    await preview.getByText("1 reading differs from what is written for its day").waitFor();
    await preview.getByRole("button", { name: "Do as chosen" }).click();
    await page.locator("#journal").getByText("pH 7,2").waitFor();
    const [{ events }] = await keptTanks(page);
    assert.equal(events.length, 3);
  }));

test("every mistake of a table is named with its row and column, and nothing is changed", () =>
  begun(async (page) => {
    const mistakes = page.locator("#import-mistakes");
    const table = (lines) => ["Day,Reading,Value with unit", ...lines].join("\r\n");
    const cases = [
      ["2026-09-10,pH,lots", "Row 2, column “Value with unit”", "“lots”"],
      ["2026-09-10,pH,7.0\r\n2026-13-40,pH,7.1", "Row 3, column “Day”", "2026-13-40"],
      ["2026-09-10,<img src=x>,1", "Row 2, column “Reading”", "“<img src=x>”"],
      ['2026-09-10,pH,"7.1', "Row 2, column “Value with unit”", "none ends it"],
      [",pH,7.1", "Row 2, column “Day”", "The day is missing"],
      ["2026-09-10,pH,", "Row 2, column “Value with unit”", "The value is missing"],
    ];
    for (const [line, place, message] of cases) {
      await openFile(page, "bad.csv", table([line]));
      await mistakes.getByText(place).waitFor();
      await mistakes.getByText(message).first().waitFor();
    }
    await openFile(page, "bad.csv", "Date,pH\n2026-09-10,7.1\n");
    await mistakes.getByText("it lacks “Day”, “Reading”, “Value with unit”").waitFor();
    await openFile(page, "bad.csv", table(["2026-09-10,pH,71"]));
    await page.locator("#bring").getByText("outside 4 to 10 pH").waitFor();
    const [{ events }] = await keptTanks(page);
    assert.deepEqual(events, []);
  }));

test("a case travels in the fragment of a link and leaves the own tanks alone", () =>
  withPage(async (page) => {
    const asked = [];
    page.context().on("request", (request) => asked.push(request.url()));
    await page.goto(`${server.url}#tank`);
    await page.getByRole("button", { name: "Make a link to this case" }).click();
    await page.waitForFunction(() => document.getElementById("link-text").value !== "");
    const link = await page.getByLabel("The link").inputValue();
    assert.match(link, /#case\/z[\w-]+$/);
    await withPage(async (other) => {
      await other.getByRole("button", { name: "Start with my own tank" }).click();
      await beginTank(other, "Alder pool");
      await other.goto(link);
      await other.getByText("This is a case from a link.").waitFor();
      await other.locator("#whose").getByText("Hazel's window tank").waitFor();
      assert.equal(await other.getByLabel("For the day").inputValue(), "2026-09-25");
      await writeReading(other, "2026-09-25", "pH", "6.1");
      await other.locator("#journal").getByText("pH 6.1").waitFor();
      assert.equal((await keptTanks(other)).length, 1);
      await other.getByRole("button", { name: "Leave it" }).click();
      await other.locator("#whose").getByText("Alder pool").waitFor();
      await other.goto(link.replace(/.{30}$/, ""));
      await other.getByText("This link holds no case that can be read.").waitFor();
      await other.locator("#whose").getByText("Alder pool").waitFor();
      await other.goto(link);
      await other.getByRole("button", { name: "Keep it as a tank of mine" }).click();
      await other.getByText("This is a case from a link.").waitFor({ state: "hidden" });
      assert.equal((await keptTanks(other)).length, 2);
    });
    // An older browser cannot pack; its links are longer and open just the same.
    await page.evaluate(() => {
      delete globalThis.CompressionStream;
    });
    await page.getByRole("button", { name: "Make a link to this case" }).click();
    await page.waitForFunction(() =>
      document.getElementById("link-text").value.includes("#case/p"),
    );
    const longer = await page.getByLabel("The link").inputValue();
    await withPage(async (other) => {
      await other.goto(longer);
      await other.getByText("This is a case from a link.").waitFor();
      await other.locator("#whose").getByText("Hazel's window tank").waitFor();
    });
    const data = link.split("#case/")[1].slice(0, 40);
    assert.ok(asked.every((url) => !url.includes(data)));
  }));

test("a record is checked against a fresh answer", () =>
  withPage(async (page) => {
    await page.goto(`${server.url}#tank`);
    const { text } = await saved(page, "Save a record of the answer");
    await openFile(page, "record.json", text);
    const verified = page.locator("#verified");
    await verified.getByText("The answer is the same to the last word.").waitFor();
    const record = JSON.parse(text);
    record.answer.advice[0].urgency = "danger";
    await openFile(page, "record.json", JSON.stringify(record));
    await verified.getByText("answer.advice[0].urgency").waitFor();
  }));

const NULL = "\0";
const journal = (more) =>
  JSON.stringify({ format: "lentic-journal/1", tank: {}, events: [], ...more });
const reading = (values) => journal({ events: [{ on: "2026-09-10", event: "read", values }] });

/** Files that nobody writes by mistake. Each is refused with a sentence, or does no more than it says. */
const hostile = {
  "empty.json": "",
  "zeros.json": NULL.repeat(1000),
  "deep.json": "[".repeat(200_000),
  "deep-object.json": '{"a":'.repeat(50_000),
  "number.json": "1e999",
  "words.json": '"lentic-journal/1"',
  "list.json": "[{}]",
  "proto.json": '{"__proto__":{"format":"lentic-journal/1","tank":{},"events":[]}}',
  "constructor.json": journal({ constructor: { prototype: { polluted: 1 } } }),
  "events-object.json": journal({ events: { length: 1e9 } }),
  "huge-number.json": reading({ nitrite: "1e400 mg/L N" }),
  "nan.json": reading({ nitrite: "NaN mg/L N" }),
  "nul-name.json": reading({ "nitrite\0": "1 mg/L N" }),
  "markup.json": reading({ "<script>alert(1)</script>": "1" }),
  "bidi.json": reading({ "\u202eetirtin": "1 mg/L N" }),
  "many.json": journal({ events: Array.from({ length: 3000 }, () => ({ on: "never" })) }),
  "year.json": journal({ events: [{ on: "9999-12-31", event: "filled" }] }),
  "set-of-sets.json": '{"format":"lentic-set/1","tanks":[{"format":"lentic-set/1","tanks":[]}]}',
  "record.json": '{"format":"lentic-record/1","date":"2026-09-10","journal":{},"answer":{}}',
  "quotes.csv": '"'.repeat(10_001),
  "commas.csv": ",".repeat(100_000),
  "formula.csv":
    'Day,Reading,Value with unit\r\n2026-09-10,"=HYPERLINK(""http://reed.invalid"")",1',
  "picture.png": "\x89PNG\r\n\x1a\n",
};

test("hostile files change nothing, ask nobody and leave the page at work", () =>
  begun(async (page) => {
    const before = await keptTanks(page);
    const complaints = [];
    page.on("pageerror", (error) => complaints.push(String(error)));
    page.on("dialog", (dialog) => complaints.push(dialog.message()));
    for (const [name, text] of Object.entries(hostile)) {
      await openFile(page, name, text);
      await page.locator("#import-mistakes").getByText(`${name} was not opened`).waitFor();
      assert.ok((await page.locator("#import-mistakes li").count()) > 0, name);
    }
    assert.deepEqual(await keptTanks(page), before);
    assert.deepEqual(complaints, []);
    assert.equal(await page.evaluate(() => ({}).polluted), undefined);
    await writeReading(page, "2026-09-10", "pH", "7.1");
    await page.locator("#journal").getByText("pH 7.1").waitFor();
  }));
