// Every part of the page in every state that the stories of the tests bring about.
import assert from "node:assert/strict";
import { test } from "node:test";
import { serveParts } from "./parts/serve.mjs";
import { assertAccessible, browser, open, server, watch, withSite } from "./support.mjs";

withSite(serveParts);

for (const [colorScheme, width] of [
  ["light", 320],
  ["dark", 1280],
]) {
  test(`no part in any state is hard to read in ${colorScheme} at ${width} px, or too wide`, () =>
    open(browser, { colorScheme, viewport: { width, height: 900 } }, async (page) => {
      const seen = watch(page);
      await page.goto(server.url);
      // Fifty journals are advised on first.
      await page.locator("body[data-ready]").waitFor({ timeout: 60_000 });
      assert.equal(await page.locator(".gallery > section").count(), 24);
      await assertAccessible(page, "the parts");
      const excess = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      assert.equal(excess, 0);
      assert.deepEqual(seen.complaints, []);
    }));
}
