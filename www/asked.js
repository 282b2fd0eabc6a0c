// What is asked about a state of the tank only when it is looked at, and then once.
import { changes, may } from "./engine.js";

/** @typedef {import("./page.js").State} State */

/** @type {WeakMap<State, Map<string, any>>} */
const known = new WeakMap();

/**
 * @template T
 * @param {State} state
 * @param {string} what
 * @param {() => T} ask
 * @returns {T}
 */
function once(state, what, ask) {
  const answers = known.get(state) ?? new Map();
  known.set(state, answers);
  if (!answers.has(what)) answers.set(what, ask());
  return answers.get(what);
}

/** What the gates say. @param {State} state */
export const gatesOf = (state) => once(state, "gates", () => may(state.journal, state.on));

/**
 * Single entries that would change what a rule or a gate comes to.
 * @param {State} state
 * @param {string} name
 */
export const changesOf = (state, name) =>
  once(state, `changes of ${name}`, () => changes(state.journal, state.on, name));

/** The same for every rule and gate at once. @param {State} state */
export const allChanges = (state) => once(state, "changes", () => changes(state.journal, state.on));
