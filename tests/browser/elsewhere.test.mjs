// The advisor where there is no server, and where the page belongs to somebody else.
import assert from "node:assert/strict";
import { test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import {
  assertAccessible,
  browser,
  eventually,
  keptTanks,
  open,
  server,
  watch,
  withSite,
} from "./support.mjs";

withSite();

const oneFile = pathToFileURL(fileURLToPath(new URL("../../target/lentic.html", import.meta.url)));
const desk = { viewport: { width: 1280, height: 900 } };

test("the page as one file advises, keeps and proves from a disk, and asks nobody", () =>
  open(browser, desk, async (page) => {
    const seen = watch(page);
    const asked = [];
    page.on("request", (request) => asked.push(request.url()));
    await page.goto(oneFile.href);
    await page.locator("body[data-ready]").waitFor();
    await page.getByRole("heading", { name: "Hold back planting" }).waitFor();
    await page.getByRole("button", { name: "Start with my own tank" }).click();
    await page.getByLabel("Name of the tank").fill("Alder pool");
    await page.getByLabel("Name of the tank").blur();
    await eventually(async () => assert.equal((await keptTanks(page))[0].name, "Alder pool"));
    await page.reload();
    await page.locator("body[data-ready]").waitFor();
    await page.goto(`${oneFile.href}#tank`);
    assert.equal(await page.getByLabel("Name of the tank").inputValue(), "Alder pool");
    await page.goto(`${oneFile.href}#workshop`);
    await page.getByRole("button", { name: "Begin with an example" }).click();
    await page.locator("#overlay-says").getByText("It can be read.").waitFor({ timeout: 30_000 });
    assert.deepEqual(seen.complaints, []);
    const others = asked.filter((url) => !url.startsWith(oneFile.href) && !url.startsWith("blob:"));
    assert.deepEqual(others, []);
  }));

const club = (use, options = desk) =>
  open(browser, options, async (page) => {
    const seen = watch(page);
    await page.goto(`${server.url}club/`);
    await page.getByRole("heading", { name: "What now?" }).waitFor();
    await use(page, seen);
  });

test("a club's page holds the advisor under a strict policy, with the club's rules and looks", () =>
  club(async (page, seen) => {
    const advisor = page.locator("lentic-advisor");
    await advisor.getByText("With rules of its own: Reed Club's own rules.").waitFor();
    await advisor.getByText("About the tank").click();
    await advisor.getByRole("radio", { name: /^Dark start/ }).check();
    await page.evaluate(() => {
      document.querySelector("lentic-advisor").setAttribute("on", "2026-09-10");
    });
    await advisor.getByText("What happened", { exact: true }).click();
    await advisor.getByLabel("Day", { exact: true }).last().fill("2026-09-01");
    await advisor.getByLabel("What happened?").selectOption("filled");
    await advisor.getByRole("button", { name: "Write down" }).last().click();
    await advisor.getByText("Bring a water sample to the club evening.").waitFor();
    await advisor.getByText("Added to the book by Reed Club's own rules.").waitFor();
    const unit = advisor.getByLabel("Nitrite, unit");
    assert.equal(await unit.inputValue(), "mg/L NO2");
    await advisor.locator(".advice .why > summary").first().click();
    await advisor.getByText("It rests on").first().waitFor();
    assert.equal(page.url(), `${server.url}club/`);

    const looks = await page.evaluate(() => {
      const inside = document.querySelector("lentic-advisor").shadowRoot;
      const button = getComputedStyle(inside.querySelector(".chief"));
      return [button.backgroundColor, button.borderRadius, document.adoptedStyleSheets.length];
    });
    assert.deepEqual(looks, ["rgb(13, 92, 99)", "4px", 0]);
    assert.deepEqual(seen.complaints, []);
    assert.deepEqual([...seen.origins], [new URL(server.url).origin]);
  }));

test("two advisors on one page keep their rules and journals apart", () =>
  club(async (page) => {
    await page.evaluate(() => {
      const second = document.createElement("lentic-advisor");
      second.id = "second";
      document.querySelector("main").append(second);
    });
    const [first, second] = [page.locator("lentic-advisor").first(), page.locator("#second")];
    await second.getByRole("heading", { name: "What now?" }).waitFor();
    const journal = {
      format: "lentic-journal/1",
      tank: { start: "dark" },
      events: [{ on: "2026-09-01", event: "filled" }],
    };
    await page.evaluate((one) => {
      for (const advisor of document.querySelectorAll("lentic-advisor")) {
        advisor.setAttribute("on", "2026-09-10");
        advisor.journal = one;
      }
    }, journal);
    await first.getByText("Bring a water sample to the club evening.").waitFor();
    await second.locator(".advice").first().waitFor();
    assert.equal(await second.getByText("Bring a water sample").count(), 0);
    const input = second.getByLabel("Nitrite", { exact: true });
    await input.fill("1");
    await second.getByRole("button", { name: "Write down" }).first().click();
    const sizes = await page.evaluate(() =>
      [...document.querySelectorAll("lentic-advisor")].map(
        ({ journal: { events } }) => events.length,
      ),
    );
    assert.deepEqual(sizes, [1, 2]);
  }));

test("an overlay that cannot be read is said in the page, not thrown at it", () =>
  club(async (page) => {
    await page.evaluate(() => {
      document.querySelector("lentic-advisor").setAttribute("overlay", "nowhere.rules");
    });
    await page.getByText("The advisor could not be set going here.").waitFor();
  }));

for (const colorScheme of ["light", "dark"]) {
  test(`axe finds nothing wrong with the club's page in ${colorScheme}`, () =>
    club(
      async (page) => {
        for (const summary of await page.locator("lentic-advisor summary").all()) {
          await summary.evaluate((node) => {
            node.parentElement.open = true;
          });
        }
        await assertAccessible(page, "the club's page");
      },
      { ...desk, colorScheme },
    ));
}
