// Starts the page: the tank that is kept or the example, then the engine, then what is shown.
import { describe, load } from "./engine.js";
import { keepOffline } from "./offline.js";
import { askAbout, follow, refresh, toAdvice, toJournal } from "./page.js";
import { present } from "./parts/day.js";
import { createNotices, showNotices } from "./parts/notices.js";
import { steadyButtons } from "./parts/press.js";
import { element } from "./parts/template.js";
import { createUndo } from "./parts/undo.js";
import { word } from "./parts/words.js";
import { link } from "./route.js";
import { begin, emptyJournal, look, openOwn } from "./tank.js";
import { recallUnits } from "./units.js";
import * as amounts from "./views/amounts.js";
import * as copies from "./views/copies.js";
import * as event from "./views/event.js";
import * as journal from "./views/journal.js";
import * as readings from "./views/readings.js";
import * as rules from "./views/rules.js";
import * as description from "./views/tank.js";
import { learn, theBook } from "./vocabulary.js";

/** Shows the example, on its own day. */
async function showExample() {
  const { on, journal } = await (await fetch(new URL("./demo.json", import.meta.url))).json();
  look(journal, true);
  askAbout(on);
}

async function openTank() {
  if (openOwn()) return;
  await showExample().catch(() => look(emptyJournal(), false));
}

function createViews() {
  learn(describe());
  readings.create({ written: toAdvice });
  event.create({ done: toJournal });
  journal.create();
  amounts.create();
  rules.create();
  description.create();
  const { title, edition, digest } = theBook();
  const short = digest.slice(0, 12);
  element("edition").textContent = word("edition", { title, edition, digest: short });
}

function createWays() {
  createUndo();
  copies.create({
    showExample: async () => {
      await showExample();
      location.hash = link("now");
    },
  });
  createNotices({
    begin: () => {
      begin();
      askAbout(present());
      location.hash = link("tank");
    },
    goBack: () => {
      openOwn();
      askAbout(present());
      refresh();
    },
  });
}

element("loading").hidden = false;
recallUnits();
createWays();
steadyButtons();
const loaded = load();
loaded.catch(() => {});
await openTank();
showNotices(present());
try {
  await loaded;
  createViews();
  follow(true);
} catch (error) {
  element("failed").hidden = false;
  element("import").disabled = true;
  journal.create();
  follow(false);
  console.error(error);
}
element("loading").hidden = true;
document.body.dataset.ready = "";
await keepOffline().catch((error) => console.error(error));
