// The unit last used for each reading, kept for the next time.
import { keep, kept } from "./settings.js";

const NAME = "units";

/** @type {Record<string, string>} */
let units = {};

export function recallUnits() {
  const value = kept(NAME);
  if (value && typeof value === "object") units = value;
}

/** Units that a page around this one asks for. @type {string[]} */
let preferred = [];

/** @param {string[]} names */
export function preferUnits(names) {
  preferred = names;
}

/**
 * The unit last used for a fact, or one that is preferred.
 * @param {string} fact
 * @param {string[]} [offered]
 */
export const unitUsed = (fact, offered = []) =>
  Object.hasOwn(units, fact) ? units[fact] : offered.find((name) => preferred.includes(name));

/**
 * @param {string} fact
 * @param {string} unit
 */
export function useUnit(fact, unit) {
  if (!unit || unitUsed(fact) === unit) return;
  units = { ...units, [fact]: unit };
  keep(NAME, units);
}
