// The page and the element in German: no English is left, numbers are written with a comma, and nothing is lost by
// changing the language.
import assert from "node:assert/strict";
import { readdir, readFile } from "node:fs/promises";
import { before, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import {
  assertAccessible,
  browser,
  eventually,
  isReady,
  keptTanks,
  open,
  serve,
  server,
  waitUntilKept,
  watch,
  withSite,
} from "./support.mjs";

withSite();

const top = new URL("../../", import.meta.url);
const desk = { viewport: { width: 1280, height: 900 } };
const views = {
  "what now": "#now/dark-start-unfinished",
  "may I": "#may/plant",
  "what is coming": "#coming",
  "the coming weeks": "#weeks",
  "ways to start": "#ways",
  "what if": "#whatif",
  "a map": "#map",
  "plants and animals": "#life",
  amounts: "#amounts",
  "one amount": "#amounts/raise-gh",
  "the rule book": "#rules/dark-start-unfinished",
  "rules of one's own": "#workshop",
  "my tank": "#tank",
  "write down": "#write",
  "an event": "#write/dosed",
};

const german = (hash, use, options = desk) =>
  open(browser, options, async (page) => {
    await page.goto(`${server.url}de.html${hash}`);
    await isReady(page);
    await use(page);
  });

/** The views one after another, each once all of it is there. */
async function eachView(page, use) {
  for (const [name, hash] of Object.entries(views)) {
    await page.goto("about:blank");
    await page.goto(`${server.url}de.html${hash}`);
    await isReady(page);
    const busy = page.locator(".view:not([hidden]) [aria-busy]");
    await busy.waitFor({ state: "detached", timeout: 60_000 });
    await use(name);
  }
}

/** Opens all that can be opened, layer by layer. */
async function unfold(page) {
  for (let layer = 0; layer < 4; layer += 1) {
    await page.evaluate(async () => {
      const closed = "details:not([open]):not(.rule)";
      for (const details of document.querySelectorAll(
        `.view:not([hidden]) ${closed}, aside ${closed}`,
      ))
        details.open = true;
      for (const details of document.querySelectorAll(`.notebook ${closed}`)) details.open = true;
      await new Promise((written) => setTimeout(written, 50));
    });
  }
}

/** Every text and every worded attribute that a reader meets; sources and a keeper's own words aside. */
const textsOf = (page) =>
  page.evaluate(() => {
    const aside = ".sources, [lang]:not(html), #whose, template, script, [hidden]";
    const found = new Set();
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const { parentElement: parent, textContent } = walker.currentNode;
      const text = textContent.trim();
      if (text && !parent.closest(aside)) found.add(text);
    }
    for (const node of document.querySelectorAll("[aria-label], [placeholder], [aria-valuetext]"))
      for (const name of ["aria-label", "placeholder", "aria-valuetext"])
        if (node.getAttribute(name) && !node.closest(aside)) found.add(node.getAttribute(name));
    return [document.title, ...found];
  });

/** English texts of the page and of the book that German says otherwise. */
let english;
before(async () => {
  const words = JSON.parse(await readFile(new URL("www/de.json", top), "utf8"));
  const said = Object.entries(words).map(([key, text]) => [key.replace(/^[a-z-]+: /, ""), text]);
  const all = [
    ...said.filter(([key, text]) => key !== text).map(([key]) => key),
    ...(await book()),
  ];
  const own = new Set(Object.values(words));
  const spoken = await text("rules/de", ".words");
  english = new Set(all.filter((one) => !own.has(one) && !spoken.includes(one)));
});

/** All files of a folder as one text. */
async function text(folder, ending) {
  const names = (await readdir(new URL(`${folder}/`, top))).filter((name) => name.endsWith(ending));
  const texts = await Promise.all(
    names.map((name) => readFile(new URL(`${folder}/${name}`, top), "utf8")),
  );
  return texts.join("\n");
}

/** The sentences and labels of the book that stand without a value in them. */
async function book() {
  const rules = await text("rules", ".rules");
  const fields = /^ +(?:label|ask|how|because|finding|advice|about|text|means) +(.+)$/gm;
  const options = /^ +option +\S+ {2,}(.+)$/gm;
  return [...rules.matchAll(fields), ...rules.matchAll(options)]
    .map(([, one]) => one.trim())
    .filter((one) => !one.includes("{"));
}

/** Words that no German sentence has, and marks that only a sentence put together badly has. */
const COMMON =
  /(?<![\p{L}-])(?:the|of|and|with|you|your|this|from|which|are|has|holds|fails|asks|wants|opens|waits)(?![\p{L}-])|\.\.(?!\.)/iu;

test("no English word is left in any view", async () => {
  assert.ok(english.size > 1500, String(english.size));
  await german("", async (page) => {
    const seen = watch(page);
    const left = [];
    await eachView(page, async (name) => {
      if (name === "plants and animals") {
        await page.locator("#species-words").fill("a");
        for (const button of (await page.locator("#species button:visible").all()).slice(0, 4))
          await button.click();
      }
      if (name === "rules of one's own") {
        await page.getByRole("button", { name: "Mit einem Beispiel beginnen" }).click();
        await page
          .locator("#overlay-says")
          .getByText("Es ist lesbar.")
          .waitFor({ timeout: 30_000 });
      }
      await unfold(page);
      const texts = await textsOf(page);
      assert.ok(texts.length > 60, name);
      const wrong = texts.filter((one) => english.has(one) || COMMON.exec(one));
      left.push(...wrong.map((one) => `${name}: ${one}`));
    });
    assert.deepEqual(left, []);
    assert.deepEqual(seen.complaints, []);
  });
});

test("the words are in the markup, and say their language", () =>
  open(browser, { javaScriptEnabled: false }, async (page) => {
    await page.goto(`${server.url}de.html`);
    await page.getByRole("heading", { name: "Was jetzt?" }).waitFor();
    await page.getByText("Rat aus einem Regelbuch, nicht von einer Fachkraft.").waitFor();
    assert.equal(await page.locator("html").getAttribute("lang"), "de");
    assert.equal(await page.locator("link[rel=alternate][hreflang=en]").count(), 1);
    const address = await page.locator("link[rel=manifest]").getAttribute("href");
    const answer = await page.request.get(server.url + address);
    const manifest = await answer.json();
    assert.deepEqual([manifest.lang, manifest.start_url], ["de", "./de.html"]);
    assert.match(manifest.description, /Süßwasserbeckens/);
  }));

test("a reading is typed with a comma, kept with a point and shown with a comma", () =>
  german("", async (page) => {
    await page.getByRole("button", { name: "Mit meinem Becken beginnen" }).click();
    const form = page.locator("#readings");
    await form.getByLabel("Tag", { exact: true }).fill("2026-09-10");
    await form.getByLabel("Nitrit, Einheit").selectOption("mg/L NO2");
    const field = form.getByLabel("Nitrit", { exact: true });
    await field.fill("0,5");
    await form.getByRole("button", { name: "Aufschreiben" }).click();
    await page.locator("#journal").getByText("Nitrit 0,5 mg/L NO2").waitFor();
    await page.getByRole("heading", { name: "Donnerstag, 10. September 2026" }).waitFor();
    await eventually(async () => {
      const [tank] = await keptTanks(page);
      assert.deepEqual(tank.events[0].values, { nitrite: "0.5 mg/L NO2" });
    });
    await page.goto(`${server.url}de.html#whatif`);
    await page.locator("#whatif-on").fill("2026-09-10");
    const moved = page.locator("#whatif").getByLabel("Nitrit", { exact: true });
    await moved.fill("0,5 bis 1,25");
    await page.locator("#whatif-with").getByText("0,5").waitFor();
    // Nobody can tell a thousand and two tenths from one and two tenths: it is asked about, as it was typed.
    await moved.fill("1.200");
    await page.locator("#whatif").getByText("„1.200“").first().waitFor();
  }));

test("the English page still takes a point and says days in English", () =>
  open(browser, desk, async (page) => {
    await page.goto(server.url);
    await isReady(page);
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    const form = page.locator("#readings");
    await form.getByLabel("Day").fill("2026-09-10");
    await form.getByLabel("Nitrite", { exact: true }).fill("0.25");
    await form.getByRole("button", { name: "Write down" }).click();
    await page.locator("#journal").getByText("Nitrite 0.25 mg/L").waitFor();
    await page.getByRole("heading", { name: "Thursday, 10 September 2026" }).waitFor();
  }));

test("changing the language keeps the journal and what is looked at", () =>
  german("", async (page) => {
    await page.getByRole("button", { name: "Mit meinem Becken beginnen" }).click();
    await page.getByLabel("Name des Beckens").fill("Erlenteich");
    await page.getByLabel("Name des Beckens").blur();
    await eventually(async () => assert.equal((await keptTanks(page))[0].name, "Erlenteich"));
    await page.getByRole("link", { name: "English" }).first().click();
    await page.waitForURL(/index\.html#tank$/);
    await isReady(page);
    await page.getByRole("heading", { name: "My tank" }).waitFor();
    assert.equal(await page.getByLabel("Name of the tank").inputValue(), "Erlenteich");
    assert.equal(await page.getByRole("link", { name: "English" }).count(), 0);
    await page.goto(`${server.url}#rules/cycle-complete`);
    await page.getByRole("link", { name: "Deutsch" }).first().click();
    await page.waitForURL(/de\.html#rules\/cycle-complete$/);
    await isReady(page);
    await page.getByRole("heading", { name: "Das Regelbuch" }).waitFor();
    await page.getByText("Warum nicht?").waitFor();
  }));

test("the German page opens again when its server is gone, and the English one with it", () =>
  open(browser, desk, async (page) => {
    const own = await serve();
    await page.goto(`${own.url}de.html`);
    await isReady(page);
    await waitUntilKept(page);
    await own.close();
    await page.reload();
    await isReady(page);
    await page.getByRole("heading", { name: "Was jetzt?" }).waitFor();
    assert.ok((await page.locator(".advice").count()) >= 3);
    await page.getByRole("link", { name: "English" }).first().click();
    await isReady(page);
    await page.getByRole("heading", { name: "What now?" }).waitFor();
  }));

test("a reader of English is sent no German, until the German page is opened", () =>
  open(browser, desk, async (page) => {
    const own = await serve();
    await page.goto(own.url);
    await isReady(page);
    await waitUntilKept(page);
    const kept = () =>
      page.evaluate(async () => {
        const names = await caches.keys();
        const found = await Promise.all(
          names.map(async (name) => (await caches.open(name)).match("words/de.json")),
        );
        return found.some(Boolean);
      });
    assert.equal(await kept(), false);
    await page.reload();
    await isReady(page);
    await page.getByRole("link", { name: "Deutsch" }).first().click();
    await isReady(page);
    await eventually(async () => assert.equal(await kept(), true));
    await own.close();
    await page.reload();
    await isReady(page);
    await page.getByRole("heading", { name: "Was jetzt?" }).waitFor();
    assert.match(await page.locator("#stage").textContent(), /^Phase: /);
  }));

test("a newer version keeps the German page too before it takes over", () =>
  open(browser, desk, async (page) => {
    let isNewer = false;
    const newer = (name, body) =>
      isNewer && name === "/sw.js" ? String(body).replace(/const VERSION = "/, "$&newer-") : body;
    const own = await serve(newer);
    await page.goto(`${own.url}de.html`);
    await isReady(page);
    await waitUntilKept(page);
    await page.goto(own.url);
    await isReady(page);
    isNewer = true;
    await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
    await page.getByRole("button", { name: "Use it now" }).click();
    await eventually(async () => {
      const names = await page.evaluate(() => caches.keys());
      assert.deepEqual([names.length, names[0].includes("newer-")], [1, true]);
    });
    await own.close();
    await page.goto(`${own.url}de.html`);
    await isReady(page);
    await page.getByRole("heading", { name: "Was jetzt?" }).waitFor();
  }));

// The colours are those of the English page, which is looked at in both schemes.
test("axe finds nothing wrong in German", () =>
  german(
    "",
    (page) =>
      eachView(page, async (name) => {
        await assertAccessible(page, name);
      }),
    { viewport: { width: 390, height: 844 } },
  ));

test("long words do not push the page sideways at 320 px", () =>
  german(
    "",
    (page) =>
      eachView(page, async (name) => {
        await unfold(page);
        const excess = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        );
        assert.equal(excess, 0, name);
      }),
    { viewport: { width: 320, height: 640 } },
  ));

test("the German page as one file advises from a disk, asks nobody, and leads to the English one", () =>
  open(browser, desk, async (page) => {
    const file = (name) => pathToFileURL(fileURLToPath(new URL(`target/${name}`, top))).href;
    const seen = watch(page);
    const asked = [];
    page.on("request", (request) => asked.push(request.url()));
    await page.goto(file("lentic-de.html"));
    await isReady(page);
    await page.getByRole("heading", { name: "Mit dem Bepflanzen warten" }).waitFor();
    await page.goto(`${file("lentic-de.html")}#weeks`);
    await page.locator("#plan [aria-busy]").waitFor({ state: "detached", timeout: 60_000 });
    await page.locator("#plan .week").first().waitFor();
    await page.getByRole("link", { name: "English" }).first().click();
    await page.waitForURL(/\/lentic\.html#weeks$/);
    await isReady(page);
    assert.deepEqual(seen.complaints, []);
    const others = asked.filter((url) => !url.startsWith("file:") && !url.startsWith("blob:"));
    assert.deepEqual(others, []);
  }));

const club = (use) =>
  open(browser, desk, async (page) => {
    const seen = watch(page);
    await page.goto(`${server.url}club/`);
    await page.getByRole("heading", { name: "What now?" }).waitFor();
    await page.evaluate(() => {
      const second = document.createElement("lentic-advisor");
      second.id = "second";
      second.setAttribute("language", "de-AT");
      document.querySelector("main").append(second);
      for (const advisor of document.querySelectorAll("lentic-advisor")) {
        advisor.setAttribute("on", "2026-09-10");
        advisor.journal = {
          format: "lentic-journal/1",
          tank: { start: "dark" },
          events: [
            { on: "2026-09-01", event: "filled" },
            { on: "2026-09-09", event: "read", values: { nitrite: "0.5 mg/L NO2" } },
          ],
        };
      }
    });
    const second = page.locator("#second");
    await second.getByRole("heading", { name: "Was jetzt?" }).waitFor();
    await use(page, second, seen);
  });

test("an advisor on somebody's page speaks German beside one that speaks English", () =>
  club(async (page, second, seen) => {
    const first = page.locator("lentic-advisor").first();
    await second.locator(".advice").first().waitFor();
    await second.getByText("Was geschehen ist", { exact: true }).click();
    await second.getByText("Nitrit 0,5 mg/L NO2").waitFor();
    await second.getByText("9. September 2026").first().waitFor();
    await first.getByText("What happened", { exact: true }).click();
    await first.getByText("Nitrite 0.5 mg/L NO2").waitFor();
    await second.getByLabel("Nitrit", { exact: true }).fill("0,25");
    await second.getByRole("button", { name: "Aufschreiben" }).first().click();
    await second.getByText("Nitrit 0,25").waitFor();
    const links = await page.evaluate(() =>
      [...document.querySelectorAll("lentic-advisor")].map((advisor) => {
        advisor.shadowRoot.querySelector(".why > summary").click();
        return [advisor.shadowRoot.firstElementChild.lang, advisor.journal.events.length];
      }),
    );
    assert.deepEqual(links, [
      ["en", 2],
      ["de", 3],
    ]);
    const rule = second.getByRole("link", { name: "Die Regel, wie sie im Buch steht" }).first();
    assert.match(await rule.getAttribute("href"), /\/de\.html#rules\//);
    await page.evaluate(() => {
      document.querySelector("#second").setAttribute("language", "en-US");
    });
    await second.getByRole("heading", { name: "What now?" }).waitFor();
    assert.deepEqual(seen.complaints, []);
  }));

test("axe finds nothing wrong with the German advisor, and no English is left in it", () =>
  club(async (page, second) => {
    for (const summary of await second.locator("summary").all())
      await summary.evaluate((node) => {
        node.parentElement.open = true;
      });
    await assertAccessible(page, "the German advisor", "#second");
    const texts = await second.evaluate(({ shadowRoot }) => {
      const walker = document.createTreeWalker(shadowRoot, NodeFilter.SHOW_TEXT);
      const found = [];
      while (walker.nextNode()) {
        const { parentElement: parent, textContent } = walker.currentNode;
        if (!parent.closest(".sources")) found.push(textContent.trim());
      }
      return found;
    });
    assert.ok(texts.length > 60);
    assert.deepEqual(
      texts.filter((one) => english.has(one) || COMMON.exec(one)),
      [],
    );
  }));

const table = {
  "de.html": 'Tag;Uhrzeit;Messwert;Wert mit Einheit\r\n2026-09-10;;Nitrit;"0,25 mg/L NO2"\r\n',
  "index.html": "Day,Time,Reading,Value with unit\r\n2026-09-10,,Nitrite,0.25 mg/L NO2\r\n",
};

async function bringTable(page, text) {
  const file = { name: "readings.csv", mimeType: "text/csv", buffer: Buffer.from(text) };
  await page.locator("#import-file").setInputFiles(file);
  await page.locator("#bring").waitFor();
  await page.locator("#bring button[type=submit]").click();
}

for (const [from, to] of [
  ["de.html", "index.html"],
  ["index.html", "de.html"],
  ["de.html", "de.html"],
]) {
  test(`a table of readings in the words of ${from} is understood by ${to}`, () =>
    open(browser, desk, async (page) => {
      await page.goto(`${server.url}${to}#tank`);
      await isReady(page);
      await bringTable(page, table[from]);
      await eventually(async () => {
        const tanks = await keptTanks(page);
        assert.deepEqual(
          tanks.flatMap(({ events }) => events),
          [{ on: "2026-09-10", event: "read", values: { nitrite: "0.25 mg/L NO2" } }],
        );
      });
    }));
}

test("a table of readings is written as a German spreadsheet reads it", () =>
  german("#tank", async (page) => {
    await bringTable(page, table["index.html"]);
    const button = page.getByRole("button", { name: "Messwerte als Tabelle sichern" });
    const [download] = await Promise.all([page.waitForEvent("download"), button.click()]);
    const text = await readFile(await download.path(), "utf8");
    assert.equal(text, table["de.html"]);
  }));
