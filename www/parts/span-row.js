// A figure over many tanks: the middle, the range of nine tenths of them, and both as a line.
import { heading } from "./data-table.js";
import { figure } from "./figure.js";
import { svg } from "./svg.js";
import { word } from "./words.js";

/** @typedef {import("../engine.js").Span} Span */

const WIDE = 200;
const TALL = 14;

/**
 * A figure and its range in words.
 * @param {Span} span
 * @param {number} beyond what a missing figure lies above
 */
export function spanInWords({ low, middle, high }, beyond) {
  const told = (/** @type {number | null} */ value) =>
    value == null ? word("beyond", { days: beyond }) : figure(value);
  if (low === middle && middle === high) return told(middle);
  return word("span figure", { middle: told(middle), low: told(low), high: told(high) });
}

/**
 * @param {string} name
 * @param {Span} span
 * @param {{ most: number, beyond: number, more?: string }} scale
 */
export function spanRow(name, span, { most, beyond, more = "" }) {
  const row = document.createElement("tr");
  const cell = document.createElement("td");
  cell.append(`${spanInWords(span, beyond)}${more}`, strip(span, most));
  row.append(heading(name, "row"), cell);
  return row;
}

/**
 * @param {Span} span
 * @param {number} most
 */
function strip({ low, middle, high }, most) {
  const x = (/** @type {number | null} */ value) =>
    4 + (WIDE - 8) * (value == null ? 1 : Math.min(1, value / most));
  const y = TALL / 2;
  return svg(
    "svg",
    { class: "strip", viewBox: `0 0 ${WIDE} ${TALL}`, "aria-hidden": "true", focusable: "false" },
    svg("line", { class: "rule-line", x1: 4, x2: WIDE - 4, y1: y, y2: y }),
    svg("line", { class: "reach", x1: x(low), x2: x(high), y1: y, y2: y }),
    svg("circle", { class: middle == null ? "deed planned" : "deed", cx: x(middle), cy: y, r: 4 }),
  );
}
