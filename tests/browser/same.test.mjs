// The program and the page give the same answer, to the last character.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import fs from "node:fs";
import { before, test } from "node:test";
import { fileURLToPath } from "node:url";

const at = (path) => fileURLToPath(new URL(`../../${path}`, import.meta.url));
const program = at("target/debug/lentic");
const whole = await import(at("target/site/pkg/lentic.js"));
const page = await import(at("www/pkg/page.js"));

let advisor;
/** What the page itself asks: a build of its own, optimised otherwise. */
let ofPage;
before(async () => {
  const wasm = (name) => ({ module_or_path: fs.readFileSync(at(`target/site/pkg/${name}`)) });
  await whole.default(wasm("lentic_bg.wasm"));
  await page.default(wasm("page_bg.wasm"));
  advisor = new whole.Advisor();
  ofPage = new page.Advisor();
});

const stories = fs.readdirSync(at("tests/journals")).filter((name) => name.startsWith("story-"));

/** The days to ask about: the last entry's, and some around it. */
function days(journal) {
  const last =
    journal.events
      .map((event) => event.on)
      .sort()
      .at(-1) ?? "2026-10-01";
  const day = (offset) =>
    new Date(Date.parse(last) + offset * 86_400_000).toISOString().slice(0, 10);
  return [-9, -2, 0, 1, 8].map(day);
}

/** What the program prints, and null where it finds mistakes. */
function printed(...words) {
  try {
    return execFileSync(program, words, { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
  } catch (error) {
    return error.status === 1 ? error.stdout : null;
  }
}

test("there are stories to compare", () => assert.ok(stories.length >= 20));

for (const story of stories) {
  test(`the same answer natively and in WebAssembly: ${story}`, () => {
    const path = at(`tests/journals/${story}`);
    const journal = JSON.parse(fs.readFileSync(path, "utf8"));
    for (const day of days(journal)) {
      const native = printed("advise", path, "--on", day, "--json");
      for (const one of [advisor, ofPage]) {
        const { advice } = one.advise(journal, day);
        const here = advice && JSON.stringify(advice, null, 2);
        assert.equal(here, native && JSON.stringify(JSON.parse(native), null, 2), day);
      }
    }
  });
}

test("the same bytes from a batch and in WebAssembly, bad lines aside", () => {
  const day = "2026-09-25";
  const lines = stories.map((story) =>
    JSON.stringify(JSON.parse(fs.readFileSync(at(`tests/journals/${story}`), "utf8"))),
  );
  const batch = ["batch", "--on", day];
  const answers = execFileSync(program, batch, {
    input: lines.join("\n"),
    encoding: "utf8",
    maxBuffer: 1 << 28,
    stdio: ["pipe", "pipe", "ignore"],
  }).split("\n");
  assert.equal(answers.pop(), "");
  assert.equal(answers.length, lines.length);
  let same = 0;
  for (const [index, line] of lines.entries()) {
    const { advice } = advisor.advise(JSON.parse(line), day);
    if (advice) {
      assert.ok(answers[index] === JSON.stringify(advice), stories[index]);
      same += 1;
    } else {
      assert.equal(JSON.parse(answers[index]).format, "lentic-mistakes/1");
    }
  }
  assert.ok(same > 30);
});

test("the same forecast, plan and comparison natively and in WebAssembly", () => {
  for (const [name, day] of [
    ["course-dark.json", "2026-03-05"],
    ["course-misread.json", "2026-05-18"],
    ["story-planted-day-8.json", "2026-10-09"],
  ]) {
    const path = at(`tests/journals/${name}`);
    const journal = JSON.parse(fs.readFileSync(path, "utf8"));
    const same = (here, ...words) => {
      const native = printed(...words, "--on", day, "--json");
      assert.equal(JSON.stringify(here, null, 2), JSON.stringify(JSON.parse(native), null, 2));
    };
    const { forecast, picture } = advisor.forecast(journal, day);
    same(forecast, "forecast", path);
    assert.equal(picture, printed("forecast", path, "--on", day, "--svg"));
    const { plan, calendar } = advisor.plan(journal, day);
    same(plan, "plan", path);
    assert.equal(calendar, printed("plan", path, "--on", day, "--ics"));
    const { comparison } = advisor.compare(journal, day, { plants: "40" });
    same(comparison, "compare", path, "plants=40");
    assert.deepEqual(advisor.capacity(journal, day).capacity, forecast.capacity);
  }
});

test("the same changes, next tests and record natively and in WebAssembly", () => {
  const path = at(`tests/journals/${stories[0]}`);
  const journal = JSON.parse(fs.readFileSync(path, "utf8"));
  const day = days(journal)[2];
  const same = (words, here) =>
    assert.deepEqual(here, JSON.parse(printed(...words, "--on", day, "--json")));
  same(["next", path], advisor.nextTests(journal, day).tests);
  same(["record", path], JSON.parse(advisor.record(journal, day).record));
  const verified = advisor.verify(printed("record", path, "--on", day));
  assert.equal(verified.verified?.same, true);
  assert.deepEqual(ofPage.describe(), advisor.describe());
  assert.deepEqual(ofPage.rules(), advisor.rules());
});
