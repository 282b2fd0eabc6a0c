import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { AxeBuilder } from "@axe-core/playwright";
import { launch, serve, waitUntilKept, watch } from "./support.mjs";

let browser;
let server;

before(async () => {
  browser = await launch();
  server = await serve();
});

after(async () => {
  await browser?.close();
  await server?.close();
});

/** A page of its own, with its own storage, closed at the end of the test. */
async function withPage(options, use) {
  const context = await browser.newContext(options);
  try {
    await use(await context.newPage());
  } finally {
    await context.close();
  }
}

const engineIsReady = (page) => page.getByText("The engine is ready.").waitFor();

test("the page opens without a complaint and asks nobody else", () =>
  withPage({}, async (page) => {
    const seen = watch(page);
    await page.goto(server.url);
    await engineIsReady(page);
    await waitUntilKept(page);
    assert.deepEqual(seen.complaints, []);
    assert.deepEqual([...seen.origins], [new URL(server.url).origin]);
  }));

test("the page opens again when its server is gone", () =>
  withPage({}, async (page) => {
    const own = await serve();
    await page.goto(own.url);
    await waitUntilKept(page);
    await own.close();
    await page.reload();
    await engineIsReady(page);
    await page.goto(`${own.url}index.html?from=bookmark`);
    await engineIsReady(page);
  }));

test("no text becomes script", () =>
  withPage({}, async (page) => {
    await page.goto(server.url);
    await engineIsReady(page);
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

// The rules are those of WCAG 2.2 as far as axe-core can tell them.
for (const colorScheme of ["light", "dark"]) {
  test(`axe finds nothing wrong with the ${colorScheme} page`, () =>
    withPage({ colorScheme }, async (page) => {
      await page.goto(server.url);
      await engineIsReady(page);
      const { violations, passes } = await new AxeBuilder({ page }).analyze();
      assert.deepEqual(
        violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)]),
        [],
      );
      assert.ok(passes.some(({ id }) => id === "color-contrast"));
    }));
}
