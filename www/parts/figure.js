// Numbers as they are written in sentences and tables.
import { inFigures } from "./locale.js";

const FIGURES = 3;

/** @param {number} value */
export const figure = (value) => inFigures(value, FIGURES);

/** A share of one. @param {number} share */
export const percent = (share) => `${Math.round(share * 100)} %`;

/**
 * With its unit, unless the unit is the name itself.
 * @param {number} value
 * @param {{ label: string, unit: string }} of
 */
export const withUnit = (value, { label, unit }) =>
  unit && unit !== label ? `${figure(value)} ${unit}` : figure(value);

/**
 * The next number above that is good to read on a scale.
 * @param {number} value
 */
export function roundAbove(value) {
  if (value <= 0) return 1;
  const size = 10 ** Math.floor(Math.log10(value));
  const steps = [1, 1.5, 2, 3, 4, 5, 6, 8, 10];
  return (steps.find((step) => step * size >= value * 0.999999) ?? 10) * size;
}
