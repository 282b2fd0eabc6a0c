// What would change an answer: single entries, each with the nearest value that does it.
import { changesOf } from "../asked.js";
import { made } from "./template.js";
import { word } from "./words.js";

/** @typedef {import("../page.js").State} State */

/**
 * What would change what a rule or a gate comes to.
 * @param {State} state
 * @param {string} name
 * @param {string} [verdict] the only verdict of a gate that is of interest
 */
export function changeItems(state, name, verdict) {
  const own = changesOf(state, name);
  return own.filter((change) => !verdict || change.gate_after === verdict).map(changeItem);
}

/** @param {import("../engine.js").Change} change */
function changeItem({ label, now, to, direction, after, gate_after }) {
  const turn = word(`change ${direction}`, { label, now, to });
  const then = gate_after
    ? word("then gate", { verdict: word(`gate ${gate_after}`).toLowerCase() })
    : word(`then ${after}`);
  return made("li", `${turn}: ${then}.`);
}
