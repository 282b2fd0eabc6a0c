import { add, replace, tank } from "../tank.js";

/**
 * Writes readings down: into an entry of that day that does not have them yet, or into a new one.
 * @param {string} on
 * @param {Record<string, string>} values
 */
export function writeReadings(on, values) {
  const { events } = tank.journal;
  const index = events.findLastIndex(
    (entry) =>
      entry.event === "read" &&
      entry.on === on &&
      !Object.keys(values).some((name) => Object.hasOwn(entry.values, name)),
  );
  if (index < 0) return add({ on, event: "read", values });
  replace(index, { ...events[index], values: { ...events[index].values, ...values } });
}
