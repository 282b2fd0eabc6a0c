// The unit last used for each reading, kept for the next time.
import { keep, kept } from "./store.js";

const NAME = "units";

/** @type {Record<string, string>} */
let units = {};

export function recallUnits() {
  const { value } = kept(NAME);
  if (value && typeof value === "object") units = value;
}

/** @param {string} fact */
export const unitUsed = (fact) => (Object.hasOwn(units, fact) ? units[fact] : undefined);

/**
 * @param {string} fact
 * @param {string} unit
 */
export function useUnit(fact, unit) {
  if (!unit || unitUsed(fact) === unit) return;
  units = { ...units, [fact]: unit };
  keep(NAME, units);
}
