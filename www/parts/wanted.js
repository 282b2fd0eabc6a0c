import { link } from "../route.js";
import { describeTank } from "../tank.js";
import { eventFor, factOf, profile, titleOf, valuesOf } from "../vocabulary.js";
import { fieldFor } from "./field.js";
import { writeReadings } from "./readings.js";
import { copy, fill, piece } from "./template.js";
import { listed, word } from "./words.js";

/** @typedef {import("../engine.js").Wanted} Wanted */

/**
 * A fact worth finding out, with its field or the way to its form.
 * @param {Wanted} wanted
 * @param {import("../page.js").State} state
 */
export function wantedItem(wanted, state) {
  const fact = factOf(wanted.fact);
  const settles = listed([...new Set(wanted.settles.map((rule) => actionOf(rule, state)))]);
  const isReading = valuesOf("read").some(({ name }) => name === wanted.fact);
  const isProfile = profile().some(({ facts }) => facts.some(({ name }) => name === wanted.fact));
  if (!fact || !(isReading || isProfile)) return elsewhere(wanted, settles);

  const item = copy("wanted");
  const field = fieldFor(fact);
  fill(item, { settles });
  piece(item, "field").append(field.node);
  item.querySelector("form")?.addEventListener("submit", (event) => {
    event.preventDefault();
    if (!field.text()) return field.say(word("nothing entered"));
    if (!field.isReady()) return field.focus();
    field.written();
    if (isReading) writeReadings(state.on, { [fact.name]: field.text() });
    else describeTank(fact.name, field.text());
    document.getElementById("title-wanted")?.closest("section")?.querySelector("input")?.focus();
  });
  return item;
}

/**
 * @param {Wanted} wanted
 * @param {string} settles
 */
function elsewhere(wanted, settles) {
  const item = copy("wanted-elsewhere");
  const event = eventFor(wanted.fact);
  fill(item, { link: wanted.ask || wanted.label, settles });
  piece(item, "link").href = event ? link("write", event.name) : link("tank");
  return item;
}

/**
 * @param {string} rule
 * @param {import("../page.js").State} state
 */
function actionOf(rule, { advice }) {
  const said = [...(advice?.advice ?? []), ...(advice?.open ?? [])];
  return said.find((one) => one.rule === rule)?.action_label ?? titleOf(rule);
}
