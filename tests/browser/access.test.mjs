// What everybody must be able to do: read in any light, at any size, without a mouse.
import assert from "node:assert/strict";
import { test } from "node:test";
import { assertAccessible, browser, isReady, open, server, withSite } from "./support.mjs";

const views = {
  "what now": "#now/dark-start-unfinished",
  "may I": "#may/add-fish",
  "what if": "#whatif",
  amounts: "#amounts/water-volume",
  "the rule book": "#rules/dark-start-unfinished",
  "rules of one's own": "#workshop/dark-start-unfinished",
  "my tank": "#tank",
  "write down": "#write",
  "an event": "#write/added",
};

withSite();

/** Goes through all views in one page. */
async function eachView(page, use) {
  for (const [name, hash] of Object.entries(views)) {
    await page.goto("about:blank");
    await page.goto(server.url + hash);
    await isReady(page);
    await use(name);
  }
}

// The rules are those of WCAG 2.2 as far as axe-core can tell them.
// Each part in each of its states is looked at in parts.test.mjs.
for (const [colorScheme, width] of [
  ["light", 390],
  ["dark", 1280],
]) {
  test(`axe finds nothing wrong in ${colorScheme} at ${width} px`, () =>
    open(browser, { colorScheme, viewport: { width, height: 900 } }, (page) =>
      eachView(page, async (name) => {
        const passed = await assertAccessible(page, name);
        assert.ok(["color-contrast", "document-title"].every((id) => passed.includes(id)));
      }),
    ));
}

test("axe finds nothing wrong where colours are the reader's own", () =>
  open(browser, { forcedColors: "active", contrast: "more", reducedMotion: "reduce" }, (page) =>
    eachView(page, async (name) => {
      await assertAccessible(page, name);
      const motion = await page.evaluate(
        () => getComputedStyle(document.documentElement).scrollBehavior,
      );
      assert.equal(motion, "auto");
    }),
  ));

// 320 px is also what a window of 1280 px has left at a zoom of 400 % (WCAG 2.2, 1.4.10).
for (const [width, height] of [
  [320, 640],
  [640, 450],
  [1024, 700],
]) {
  test(`nothing scrolls sideways at ${width} px`, () =>
    open(browser, { viewport: { width, height } }, (page) =>
      eachView(page, async (name) => {
        for (const summary of await page.locator("main summary:visible").all())
          await summary.evaluate((node) => {
            node.parentElement.open = true;
          });
        const excess = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        );
        assert.equal(excess, 0, name);
      }),
    ));
}

// 44 px by 44 px (WCAG 2.2, 2.5.5); words inside a sentence are exempt there.
test("what is touched is at least 44 px high", () =>
  open(browser, { viewport: { width: 390, height: 844 } }, (page) =>
    eachView(page, async (name) => {
      const small = await page.evaluate(() =>
        [
          ...document.querySelectorAll(
            "button, select, summary, label.option, .below, input, nav a, .actions a",
          ),
        ]
          .filter((node) => node.checkVisibility({ opacityProperty: true }))
          .filter((node) => !node.matches("label input"))
          .map((node) => [node.outerHTML.slice(0, 80), node.getBoundingClientRect().height])
          .filter(([, height]) => height < 44),
      );
      assert.deepEqual(small, [], name);
    }),
  ));

async function tabTo(page, isThere) {
  for (let presses = 0; presses < 400; presses += 1) {
    await page.keyboard.press("Tab");
    if (await page.evaluate(isThere)) return;
  }
  assert.fail("the keyboard never got there");
}

test("the keyboard alone begins a tank, writes a reading down and opens its reasons", () =>
  open(browser, { viewport: { width: 1280, height: 900 } }, async (page) => {
    await page.goto(server.url);
    await isReady(page);
    await tabTo(page, () => document.activeElement.id === "begin");
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: "My tank" }).waitFor();
    assert.equal(await page.evaluate(() => document.activeElement.id), "title-tank");
    await tabTo(page, () => document.activeElement.type === "radio");
    await page.keyboard.press("ArrowDown");
    await tabTo(page, () => document.activeElement.id === "readings-on");
    await tabTo(page, () => document.activeElement.inputMode === "decimal");
    await page.keyboard.type("3");
    await page.keyboard.press("Enter");
    await page.locator("#journal").getByText("Total ammonia 3 mg/L N").waitFor();
    await page.keyboard.press("Home");
    await page.locator("#skip").focus();
    await page.keyboard.press("Enter");
    assert.equal(await page.evaluate(() => document.activeElement.id), "title-tank");
    await page.getByRole("link", { name: "What now?" }).first().focus();
    await page.keyboard.press("Enter");
    await tabTo(page, () => document.activeElement.matches(".why > summary"));
    await page.keyboard.press("Enter");
    await page.getByText("It rests on").first().waitFor();
    const outline = await page.evaluate(
      () => getComputedStyle(document.activeElement).outlineStyle,
    );
    assert.equal(outline, "solid");
  }));

test("what is said aloud is one sentence for a new answer, and none for the same one", () =>
  open(browser, {}, async (page) => {
    await page.goto(server.url);
    await isReady(page);
    const summary = page.locator("#summary");
    assert.match(
      await summary.textContent(),
      /^\d+ pieces of advice for 25 September 2026\. First: /,
    );
    const changes = await page.evaluate(async () => {
      let count = 0;
      new MutationObserver((seen) => {
        count += seen.length;
      }).observe(document.getElementById("summary"), {
        childList: true,
        characterData: true,
        subtree: true,
      });
      location.hash = "#may";
      await new Promise((done) => setTimeout(done, 200));
      location.hash = "#now";
      await new Promise((done) => setTimeout(done, 200));
      return count;
    });
    assert.equal(changes, 0);
  }));
