// The program and the page give the same answer, to the last character.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import fs from "node:fs";
import { before, test } from "node:test";
import { fileURLToPath } from "node:url";

const at = (path) => fileURLToPath(new URL(`../../${path}`, import.meta.url));
const program = at("target/debug/lentic");
const { default: init, Advisor } = await import(at("target/site/pkg/lentic.js"));

let advisor;
before(async () => {
  await init({ module_or_path: fs.readFileSync(at("target/site/pkg/lentic_bg.wasm")) });
  advisor = new Advisor();
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
      const { advice } = advisor.advise(journal, day);
      const here = advice && JSON.stringify(advice, null, 2);
      assert.equal(here, native && JSON.stringify(JSON.parse(native), null, 2), day);
    }
  });
}

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
});
