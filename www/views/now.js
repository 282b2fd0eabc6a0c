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
import { counted, listed, word } from "../parts/words.js";
import { titleOf } from "../vocabulary.js";

/** @typedef {import("../page.js").State} State */

const list = () => element("advices");

/**
 * @param {State} state
 * @param {string} item the rule whose reasons are to be open
 */
export function show(state, item) {
  showDay(state);
  showAdvice(state, item);
  showRest(state);
  summarise(state);
}

/** @param {State} state */
function showDay({ advice, journal, isDated, on }) {
  const later = advice?.later_entries ?? 0;
  element("on").value = on;
  element("on-again").hidden = isDated || on === present();
  element("whose").textContent = journal.name ?? "";
  const stage = advice?.stage;
  element("stage").textContent = stage ? word("stage is", { stage }) : "";
  element("later").hidden = later === 0;
  element("later").textContent = counted("later", later);
  const isEmpty = journal.events.length === 0 && Object.keys(journal.tank).length === 0;
  element("nothing-known").hidden = !isEmpty;
}

/**
 * @param {State} state
 * @param {string} item
 */
function showAdvice(state, item) {
  const points = state.advice?.advice ?? [];
  const opened = whys()
    .filter((why) => why.open)
    .map(ruleOf);
  list().replaceChildren(...points.map((point) => adviceItem(point, state)));
  for (const why of whys()) why.open = [...opened, item].includes(ruleOf(why));
  // What can hurt within hours comes before any question.
  list()[points[0]?.urgency === "danger" ? "after" : "before"](element("questions"));
}

/** @param {State} state */
function showRest(state) {
  const { advice, mistakes } = state;
  const wanted = advice?.wanted ?? [];
  showList("unreadable-entries", mistakes.map(unreadableItem));
  showList("questions", (advice?.questions ?? []).map(questionItem));
  showList(
    "wanted",
    wanted.map((one) => wantedItem(one, state)),
  );
  showSetAside(advice?.set_aside ?? []);
  showClashes(advice?.clashes ?? []);
  showList("withdrawn", (advice?.withdrawn ?? []).filter(isWarning).map(withdrawnItem));
}

/**
 * Opens the reasons of a rule that is addressed, closes them when it no longer is.
 * @param {string} item
 * @param {string} previous
 */
export function open(item, previous) {
  for (const why of whys()) {
    if (ruleOf(why) === previous) why.open = false;
  }
  const found = whys().find((why) => ruleOf(why) === item);
  if (!found) return undefined;
  found.open = true;
  return found.querySelector("summary") ?? undefined;
}

/** @returns {HTMLDetailsElement[]} */
const whys = () => [...list().querySelectorAll(".why")];

/** @param {HTMLElement} why */
const ruleOf = (why) => /** @type {HTMLElement} */ (why.closest(".advice")).dataset.rule ?? "";

/** @param {import("../engine.js").SetAside[]} all */
function showSetAside(all) {
  showList("set-aside", all.map(setAsideItem));
  piece(element("set-aside"), "count").textContent = counted("pieces", all.length);
}

/** What can hurt is told wherever advice is given. */
const isWarning = (/** @type {import("../engine.js").Withdrawn} */ rule) =>
  rule.urgency === "danger";

/** @param {{ rule: string, with: string }[]} clashes */
function showClashes(clashes) {
  element("clashes").hidden = clashes.length === 0;
  const pairs = clashes.map((clash) => `${titleOf(clash.rule)} / ${titleOf(clash.with)}`);
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
