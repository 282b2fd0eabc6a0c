// What now? The day's advice, what to ask about it, and what lost.

import { adviceItem } from "../parts/advice.js";
import { dayInWords, present } from "../parts/day.js";
import { showList } from "../parts/list.js";
import { questionItem } from "../parts/question.js";
import { setAsideItem } from "../parts/set-aside.js";
import { element, piece } from "../parts/template.js";
import { unreadableItem } from "../parts/unreadable.js";
import { wantedItem } from "../parts/wanted.js";
import { withdrawnItem } from "../parts/withdrawn.js";
import { counted, listed, titled, word } from "../parts/words.js";
import { note } from "../route.js";

/** @typedef {import("../page.js").State} State */

const list = () => element("advices");
/** @type {string[]} */
let opened = [];

/**
 * @param {State} state
 * @param {string} item the rule whose reasons are to be open
 */
export function show(state, item) {
  const { advice, mistakes } = state;
  const isOpen = (/** @type {HTMLDetailsElement} */ why) => why.open;
  opened = whys().filter(isOpen).map(ruleOf);
  element("stage").textContent = advice?.stage ?? "";
  const points = advice?.advice ?? [];
  list().replaceChildren(...points.map((point) => adviceItem(point, state)));
  for (const why of whys()) why.open = opened.includes(ruleOf(why)) || ruleOf(why) === item;
  showList("unreadable-entries", mistakes.map(unreadableItem));
  showList("questions", (advice?.questions ?? []).map(questionItem));
  showList(
    "wanted",
    (advice?.wanted ?? []).map((wanted) => wantedItem(wanted, state)),
  );
  showLater(advice?.later_entries ?? 0);
  showSetAside(advice?.set_aside ?? []);
  showClashes(advice?.clashes ?? []);
  showList("withdrawn", (advice?.withdrawn ?? []).filter(isGrave).map(withdrawnItem));
  const isEmpty = state.journal.events.length === 0 && Object.keys(state.journal.tank).length === 0;
  element("nothing-known").hidden = !isEmpty;
  element("on").value = state.on;
  element("on-again").hidden = state.isExample || state.on === present();
  summarise(state);
}

/**
 * Opens the reasons of a rule that is addressed, closes them when it no longer is.
 * @param {string} item
 * @param {string} previous
 */
export function open(item, previous) {
  for (const why of whys()) {
    if (ruleOf(why) === previous) why.open = false;
    if (ruleOf(why) === item) {
      why.open = true;
      return /** @type {HTMLElement} */ (why.querySelector("summary"));
    }
  }
  if (item) note("now", item, false);
  return undefined;
}

/** @returns {HTMLDetailsElement[]} */
const whys = () => [...list().querySelectorAll(".why")];

/** @param {HTMLElement} why */
const ruleOf = (why) => /** @type {HTMLElement} */ (why.closest(".advice")).dataset.rule ?? "";

/** @param {number} count */
function showLater(count) {
  element("later").hidden = count === 0;
  element("later").textContent = counted("later", count);
}

/** @param {import("../engine.js").SetAside[]} all */
function showSetAside(all) {
  showList("set-aside", all.map(setAsideItem));
  piece(element("set-aside"), "count").textContent = counted("pieces", all.length);
}

/** What can hurt is told wherever advice is given. */
const isGrave = (/** @type {import("../engine.js").Withdrawn} */ rule) => rule.urgency === "danger";

/** @param {{ rule: string, with: string }[]} clashes */
function showClashes(clashes) {
  element("clashes").hidden = clashes.length === 0;
  const pairs = clashes.map((clash) => `${titled(clash.rule)} / ${titled(clash.with)}`);
  piece(element("clashes"), "pairs").textContent = listed(pairs);
}

/** @param {State} state */
function summarise({ advice, on }) {
  const points = advice?.advice ?? [];
  const first = points[0] && `${points[0].action_label}, ${word(`urgency ${points[0].urgency}`)}`;
  const day = dayInWords(on);
  const text =
    points.length === 0
      ? word("summary none", { day })
      : counted("summary", points.length, { day, first });
  // The same words again would be read out again.
  if (element("summary").textContent !== text) element("summary").textContent = text;
}
