// What would change an answer: single entries, each with the nearest value that does it.
import { changes } from "../engine.js";
import { made } from "./template.js";
import { word } from "./words.js";

/** @typedef {import("../page.js").State} State */

/** @type {WeakMap<State, import("../engine.js").Change[]>} */
const found = new WeakMap();

/**
 * What would change what a rule or a gate comes to.
 * @param {State} state
 * @param {string} name
 */
export function changeItems(state, name) {
  const all = found.get(state) ?? changes(state.journal, state.on);
  found.set(state, all);
  return all.filter((change) => change.of === name).map(changeItem);
}

/** @param {import("../engine.js").Change} change */
function changeItem({ label, now, to, direction, after, gate_after }) {
  const turn = word(`change ${direction}`, { label, now, to });
  const then = gate_after
    ? word("then gate", { verdict: word(`gate ${gate_after}`).toLowerCase() })
    : word(`then ${after}`);
  return made("li", `${turn}: ${then}.`);
}
