// Starts the page: the tank that is kept or the example, then the engine, then what is shown.
import { readCase } from "./case.js";
import { describe, load } from "./engine.js";
import { textOf } from "./files.js";
import { keepOffline } from "./offline.js";
import { askAbout, follow, refresh, toAdvice, toJournal } from "./page.js";
import { present } from "./parts/day.js";
import { language } from "./parts/locale.js";
import { createNotices } from "./parts/notices.js";
import { steadyButtons } from "./parts/press.js";
import { element } from "./parts/template.js";
import { createUndo } from "./parts/undo.js";
import { word } from "./parts/words.js";
import { link } from "./route.js";
import { begin, emptyJournal, goBack, guardLeaving, look, openOwn, tank } from "./tank.js";
import { recallUnits } from "./units.js";
import * as bring from "./views/bring.js";
import * as copies from "./views/copies.js";
import * as event from "./views/event.js";
import * as journal from "./views/journal.js";
import * as print from "./views/print.js";
import * as readings from "./views/readings.js";
import * as tanks from "./views/tanks.js";
import { learn, theBook } from "./vocabulary.js";

/** Shows the example, on its own day. */
async function showExample() {
  const { on, journal } = JSON.parse(await textOf("demo.json"));
  look(journal, "example");
  askAbout(on);
}

async function openTank() {
  if (await openOwn()) return;
  await showExample().catch(() => look(emptyJournal(), "own"));
}

function createNotebook() {
  learn(describe());
  readings.create({ written: toAdvice });
  event.create({ done: toJournal });
  journal.create();
  const { title, edition, digest } = theBook();
  const short = digest.slice(0, 12);
  element("edition").textContent = word("edition", { title, edition, digest: short });
}

/** @param {string} view */
const goTo = (view) => {
  location.hash = link(view);
};

function toTank() {
  askAbout(present());
  goTo("tank");
}

function toOwn() {
  askAbout(present());
  refresh();
}

/** Back from a case to what there is of one's own. */
async function leaveCase() {
  if (goBack()) toOwn();
  else await showExample();
  goTo("now");
}

function createWays() {
  createUndo();
  tanks.create({
    showExample: async () => {
      await showExample();
      goTo("now");
    },
    opened: toOwn,
    begun: toTank,
  });
  bring.create({ opened: toOwn });
  copies.create();
  print.create();
  createNotices({
    begin: () => {
      begin();
      toTank();
    },
    goBack: () => {
      goBack();
      toOwn();
    },
    keepCase: () => {
      begin(tank.journal);
      goTo("now");
      refresh();
    },
    leaveCase,
  });
}

/**
 * Looks at the case that an address holds. The keeper's own tanks are not touched.
 * @param {string} data
 */
async function openCase(data) {
  const unreadable = element("case-unreadable");
  unreadable.hidden = true;
  try {
    const { on, journal: theirs } = await readCase(data);
    const isGood = bring.wrong(theirs).length === 0 && /^\d{4}-\d\d-\d\d$/.exec(on);
    if (!isGood) throw new Error("this case cannot be read");
    look(theirs, "case");
    askAbout(on);
  } catch {
    unreadable.hidden = false;
  }
}

element("loading").hidden = false;
recallUnits();
createWays();
steadyButtons();
guardLeaving();
const loaded = load(language());
loaded.catch(() => {});
await openTank();
refresh();
try {
  await loaded;
  createNotebook();
  follow(true, openCase);
} catch (error) {
  element("failed").hidden = false;
  element("import").disabled = true;
  journal.create();
  follow(false, () => {});
  console.error(error);
}
element("loading").hidden = true;
document.body.dataset.ready = "";
await keepOffline().catch((error) => console.error(error));
