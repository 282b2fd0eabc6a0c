// What is shown: the views, the day they speak of, and where the focus goes.
import { advise } from "./engine.js";
import { present } from "./parts/day.js";
import { showNotices } from "./parts/notices.js";
import { element } from "./parts/template.js";
import { address, link, onMove, onNote } from "./route.js";
import { onChange, onKept, tank } from "./tank.js";
import * as amounts from "./views/amounts.js";
import * as coming from "./views/coming.js";
import * as copies from "./views/copies.js";
import * as event from "./views/event.js";
import * as journal from "./views/journal.js";
import * as life from "./views/life.js";
import * as map from "./views/map.js";
import * as may from "./views/may.js";
import * as now from "./views/now.js";
import * as print from "./views/print.js";
import * as readings from "./views/readings.js";
import * as rules from "./views/rules.js";
import * as description from "./views/tank.js";
import * as tanks from "./views/tanks.js";
import * as ways from "./views/ways.js";
import * as weeks from "./views/weeks.js";
import * as whatif from "./views/whatif.js";
import * as workshop from "./views/workshop.js";
import { eventOf } from "./vocabulary.js";

/**
 * @typedef {object} State
 * @property {import("./tank.js").Journal} journal
 * @property {boolean} isDated whether the day is part of what is looked at, as with the example
 * @property {string} on the day that is asked about
 * @property {import("./engine.js").Said | null} advice
 * @property {import("./engine.js").JournalMistake[]} mistakes
 */

/**
 * @typedef {object} View
 * @property {(ways: { printWall: () => void }) => void} [create]
 * @property {(state: State, item: string) => void} show
 * @property {(item: string, previous: string) => HTMLElement | undefined} open
 */

/** @type {Record<string, View>} */
const views = {
  now,
  may,
  coming,
  weeks,
  ways,
  whatif,
  map,
  life,
  amounts,
  rules,
  workshop,
  tank: description,
};
const notebook = [readings, event, journal];

/** The views that were opened once. */
const built = new Set();

let hasEngine = false;
/** @type {(data: string) => void} */
let openCase = () => {};
let on = present();
/** The view beside the notebook, and the item it had open. */
let view = "now";
let item = "";

/** @returns {State} */
function state() {
  const { advice, mistakes } = advise(tank.journal, on);
  return { journal: tank.journal, isDated: tank.kind !== "own", on, advice, mistakes };
}

/** The view that is open, built when it first is: nobody waits for what is not looked at. */
function openView() {
  if (hasEngine && !built.has(view)) {
    built.add(view);
    views[view].create?.({ printWall: print.printWall });
  }
  return views[view];
}

/** Works everything out anew and shows it. */
export function refresh() {
  showNotices(on);
  tanks.show();
  if (!hasEngine) return journal.show(tank);
  try {
    const found = state();
    copies.show(found);
    print.show(found);
    openView().show(found, item);
    for (const part of notebook) part.show(found);
  } catch (error) {
    element("stopped").hidden = false;
    console.error(error);
  }
}

/** @param {string} day */
export function askAbout(day) {
  if (!day || day === on) return;
  on = day;
  refresh();
}

/**
 * Begins to follow the address, the journal and the day.
 * @param {boolean} withEngine
 * @param {(data: string) => void} toCase opens the case that an address holds
 */
export function follow(withEngine, toCase) {
  hasEngine = withEngine;
  openCase = toCase;
  onChange(refresh);
  onKept(() => {
    showNotices(on);
    tanks.show();
  });
  onMove(move);
  onNote(() => {
    item = address().item;
    leadOn();
  });
  element("on").addEventListener("change", () => askAbout(element("on").value));
  element("on-again").addEventListener("click", () => askAbout(present()));
  element("skip").addEventListener("click", (/** @type {Event} */ click) => {
    click.preventDefault();
    element(`title-${view}`).focus();
  });
  arrive();
  const target = item ? openView().open(item, "") : undefined;
  target?.scrollIntoView();
}

/** Shows what the address says, and moves the focus there. */
function move() {
  const previous = item;
  const before = view;
  const target = arrive() ?? openView().open(item, before === view ? previous : "");
  const heading = element(`title-${view}`);
  if (target) target.focus();
  else if (before !== view || !previous) {
    heading.focus({ preventScroll: true });
    scrollTo(0, 0);
  }
}

/**
 * Takes the address over; for the notebook it says where the focus belongs.
 * @returns {HTMLElement | undefined}
 */
function arrive() {
  const at = address();
  if (at.data) openCase(at.data);
  document.body.dataset.view = at.view;
  for (const anchor of /** @type {NodeListOf<HTMLElement>} */ (
    document.querySelectorAll("a[data-view]")
  )) {
    // A link may stand for several views; it leads to the first.
    const of = (anchor.dataset.view ?? "").split(" ");
    const place = of.indexOf(at.view);
    if (place >= 0) anchor.setAttribute("aria-current", place === 0 ? "page" : "true");
    else anchor.removeAttribute("aria-current");
  }
  if (at.view !== "write") {
    ({ view, item } = at);
  }
  for (const name of Object.keys(views)) element(`view-${name}`).hidden = name !== view;
  document.title = `${element(`title-${at.view}`).textContent} · Lentic`;
  leadOn();
  refresh();
  return at.view === "write" ? write(at.item) : undefined;
}

/** The page in another language opens at what is looked at in this one. */
function leadOn() {
  for (const anchor of /** @type {NodeListOf<HTMLAnchorElement>} */ (
    document.querySelectorAll("a[hreflang]")
  )) {
    anchor.hash = location.hash;
  }
}

/**
 * Opens the notebook at an entry, at a kind of event, or at its top.
 * @param {string} what
 * @returns {HTMLElement}
 */
function write(what) {
  if (!hasEngine) return element("title-write");
  const isEntry = /^\d+$/.exec(what) && event.edit(Number(what));
  if (!isEntry && !eventOf(what)) return element("title-write");
  if (!isEntry) event.begin(what, on);
  element("happening").open = true;
  return element("event-title");
}

/** Back from the form of an event to the journal. */
export function toJournal() {
  const isAlone = address().view === "write" && isCovered();
  history.replaceState(null, "", isAlone ? link("write") : link(view, item));
  leadOn();
  document.body.dataset.view = address().view;
  element("happening").open = false;
  element("title-journal").focus();
}

/** Whether the notebook covers the advice. It is told without the page being laid out for it. */
const isCovered = () => getComputedStyle(element("answer")).display === "none";

/** On to the advice, where the notebook covers it. */
export function toAdvice() {
  if (isCovered()) location.hash = link("now");
}
