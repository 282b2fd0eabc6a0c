// The plausible values of a fact in one of its units, laid along a line.
/** Where the plausible values begin at nothing, the low ones matter most, so they get the most room. */
const BEND = 3;

/**
 * @param {import("../engine.js").FactInfo} fact
 * @param {string} unit
 * @param {{ low: number, high: number }} [part] the part of it that is of interest
 */
export function scaleOf(fact, unit, part) {
  const whole = fact.scales[Math.max(0, fact.units.indexOf(unit))] ?? {};
  const { low, high } = part ?? whole;
  if (low == null || high == null) return undefined;
  const bend = !part && low === 0 && fact.smallest != null ? BEND : 1;
  return {
    /** The value at a share of the line, as one would type it. @param {number} share */
    at: (share) => {
      const value = low + share ** bend * (high - low);
      const figures = Math.abs(value) >= 10 ? 3 : 2;
      return `${Number(value.toPrecision(figures))}${unit ? ` ${unit}` : ""}`;
    },
    /** @param {number} value */
    shareOf: (value) => ((Math.min(Math.max(value, low), high) - low) / (high - low)) ** (1 / bend),
  };
}
