// May I? Each gate with its needs, one by one.
import { gatesOf } from "../asked.js";
import { gateItem } from "../parts/gate.js";
import { element } from "../parts/template.js";

/**
 * @param {import("../page.js").State} state
 * @param {string} item the gate to be open
 */
export function show(state, item) {
  const opened = gates()
    .filter((gate) => gate.open)
    .map((gate) => gate.dataset.gate);
  element("gates").replaceChildren(...gatesOf(state).map((gate) => gateItem(gate, state)));
  for (const gate of gates()) {
    gate.open = opened.includes(gate.dataset.gate) || gate.dataset.gate === item;
  }
}

/**
 * @param {string} item
 * @param {string} previous
 */
export function open(item, previous) {
  for (const gate of gates()) {
    if (gate.dataset.gate === previous) gate.open = false;
  }
  const found = gates().find((gate) => gate.dataset.gate === item);
  if (!found) return undefined;
  found.open = true;
  return found.querySelector("summary") ?? undefined;
}

/** @returns {HTMLDetailsElement[]} */
const gates = () => [...element("gates").querySelectorAll(".gate")];
