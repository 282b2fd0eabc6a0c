// What if, why not, the filters of the rule book, and rules of one's own.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { browser, isReady, open, saved, server, watch, withSite } from "./support.mjs";

withSite();

const desk = { viewport: { width: 1280, height: 900 } };

const at = (hash, use, options = desk) =>
  open(browser, options, async (page) => {
    await page.goto(server.url + hash);
    await isReady(page);
    await use(page);
  });

test("moving a reading tells at once what would be said instead, and aloud only at the end", () =>
  at("#whatif", async (page) => {
    const result = page.locator("#whatif-result");
    const says = page.locator("#whatif-says");
    const field = page.locator("#whatif").getByLabel("Nitrite", { exact: true });
    assert.equal(await field.inputValue(), "0.2");
    await field.fill("0");
    await result.getByRole("heading", { name: "It would no longer say" }).waitFor();
    assert.equal(await says.textContent(), "");
    await field.blur();
    await says.getByText(/would be different\.$/).waitFor();
    await page.getByRole("button", { name: "Put everything back" }).click();
    assert.equal(await field.inputValue(), "0.2");
    assert.equal(await result.locator("li").count(), 0);

    await page.getByLabel("Nitrite, slider").press("End");
    // 50 mg/L N, the highest plausible value, in the unit that is chosen: 50 × 46.005 / 14.007 (IUPAC 2021).
    assert.equal(await field.inputValue(), "164");
    await result.locator("li").first().waitFor();
    await field.fill("lots");
    await result.getByText("“lots” is not a number").waitFor();
    await page.getByRole("link", { name: "What now?" }).first().click();
    assert.equal(await page.locator("#journal").getByText("lots").count(), 0);
  }));

test("moving the day tells what time alone would change", () =>
  at("#whatif", async (page) => {
    await page.getByLabel("Days ahead").press("ArrowRight");
    assert.equal(await page.locator("#whatif-on").inputValue(), "2026-09-26");
    await page.getByLabel("Days ahead").press("End");
    await page.locator("#whatif-with").getByText("24 November 2026").waitFor();
    await page.locator("#whatif-result li").first().waitFor();
  }));

test("a rule that is silent says what keeps it so", () =>
  at("#rules/cycle-complete", async (page) => {
    const rule = page.locator(".rule[open]");
    await rule.getByText("does not hold").first().waitFor();
    await rule.getByText("Why not?").click();
    await rule.getByText("What keeps it silent").waitFor();
    await rule.getByText("it would need").first().waitFor();
  }));

test("rules are found by stage, by what they rest on and by their verdict", () =>
  at("#rules", async (page) => {
    const count = page.locator("#rule-count");
    const number = async () => Number.parseInt(await count.textContent(), 10);
    await page.getByLabel("For this tank", { exact: true }).selectOption("speaks now");
    const speaking = await number();
    const advised = await page.evaluate(() => document.querySelectorAll("#advices .advice").length);
    assert.ok(speaking > 0 && (advised === 0 || speaking >= advised), String(speaking));
    await page.getByLabel("Rests on").selectOption("published");
    assert.ok((await number()) < speaking);
    await page.getByLabel("For this tank", { exact: true }).selectOption("Any verdict");
    await page.getByLabel("Stage", { exact: true }).selectOption("Cycling");
    const narrow = await number();
    await page.getByLabel("Rests on").selectOption("Anything");
    assert.ok((await number()) > narrow);
  }));

test("no rule is titled by its name", () =>
  at("#rules", async (page) => {
    const titles = await page.locator(".rule h4").allTextContents();
    assert.ok(titles.length > 100);
    assert.deepEqual(
      titles.filter((title) => /^(Co2|Ph|Kh|Gh)\b/.test(title) || /[{}]/.test(title)),
      [],
    );
  }));

test("rules of one's own are read as one types, tried on the tank, proved and saved", () =>
  at("#workshop", async (page) => {
    const seen = watch(page);
    const text = page.getByLabel("Your changes");
    const says = page.locator("#overlay-says");
    await page.getByRole("button", { name: "Begin with an example" }).click();
    await says.getByText("It can be read.").waitFor({ timeout: 30_000 });
    const effect = page.locator("#overlay-effect");
    await effect.getByText("Bring a water sample to the club evening.").waitFor();
    await effect.getByText("Reed Club's own rules").first().waitFor();
    const { name, text: file } = await saved(page, "Save as a file");
    assert.equal(name, "reed-club.rules");
    assert.equal(file, await text.inputValue());

    await text.fill(file.replace("advise   know", "advise   knw"));
    const mistakes = page.locator("#overlay-mistakes");
    await mistakes.getByText("did you mean “know”", { exact: false }).waitFor();
    await mistakes
      .getByRole("button", { name: /^Line \d+$/ })
      .first()
      .click();
    const selected = await text.evaluate((area) =>
      area.value.slice(area.selectionStart, area.selectionEnd),
    );
    assert.equal(selected, "knw");
    await text.fill(file.replace("holds    stage cycling, start dark", "holds    start fed"));
    await says.getByText("does not come out as written").waitFor();

    // The book says to leave the water of a dark start alone.
    const clash = file.replace("advise   know", "advise   change-water");
    await text.fill(clash);
    const findings = page.locator("#findings");
    await findings.getByText("which exclude each other").waitFor({ timeout: 60_000 });
    await findings.getByText("The book cannot mean this.").waitFor();
    await findings.getByText("Way of starting: Dark start").waitFor();
    await text.fill(file);
    await findings.getByText("no rule clashes with another").waitFor({ timeout: 60_000 });
    await page.reload();
    await isReady(page);
    assert.equal(await text.inputValue(), file);
    assert.deepEqual(seen.complaints, []);
  }));

test("a rule of the book is opened for a change as it stands", () =>
  at("#rules/dark-start-unfinished", async (page) => {
    await page
      .getByRole("link", { name: /^Try a change of it/ })
      .first()
      .click();
    const text = page.getByLabel("Your changes");
    await page.waitForFunction(() => document.activeElement?.id === "overlay-text");
    const chapter = fileURLToPath(new URL("../../rules/dark-start.rules", import.meta.url));
    const book = await readFile(chapter, "utf8");
    const [, body] = /^rule dark-start-unfinished\n((?: .*\n)+)/m.exec(book);
    assert.ok((await text.inputValue()).includes(body.trimEnd()));
    assert.match(await text.inputValue(), /^replace dark-start-unfinished$/m);
    await page.locator("#overlay-says").getByText("It can be read.").waitFor({ timeout: 30_000 });
    await page.goBack();
    await page.getByRole("heading", { name: "The rule book" }).waitFor();
  }));

test("a wall sheet and a case are laid out for paper", () =>
  at("#now", async (page) => {
    await page.evaluate(() => {
      globalThis.printed = [];
      globalThis.print = () => {
        const why = document.querySelectorAll(".why[open]").length;
        const rows = document.querySelectorAll("#wall tbody tr").length;
        globalThis.printed.push([document.body.dataset.sheet, why, rows]);
      };
    });
    const advices = await page.locator(".advice").count();
    await page.getByRole("button", { name: "Print a sheet for the wall" }).click();
    await page.getByRole("button", { name: "Print the case with its reasons" }).click();
    await page.waitForFunction(() => globalThis.printed.length === 2);
    assert.deepEqual(await page.evaluate(() => globalThis.printed), [
      ["wall", 0, 10],
      ["case", advices, 10],
    ]);
    assert.equal(await page.locator(".why[open]").count(), 0);
  }));
