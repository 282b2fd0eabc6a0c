// The frame of a picture over the days: its two scales, the day asked about, the likely day, and what was done.
import { dayInBrief } from "./day.js";
import { figure } from "./figure.js";
import { svg } from "./svg.js";

const LEFT = 46;
const RIGHT = 10;
const TOP = 22;
const TALL = 132;
const BELOW = 34;
const DAYS_A_WEEK = 7;
/** A date below the scale takes so much room. */
const DATE_WIDTH = 66;

/**
 * @typedef {object} Times
 * @property {string[]} days
 * @property {number} now the place of the day asked about among the days, or -1
 * @property {number} likely the place of the likely day, or -1
 * @property {{ now: string, likely: string }} words
 * @property {{ day: number, planned: boolean, says: string }[]} deeds
 */

/**
 * @param {number} width
 * @param {Times} times
 * @param {{ low: number, high: number, told?: (value: number) => string }} scale
 * @param {(x: (day: number) => number, y: (value: number) => number) => SVGElement[]} inside
 * @returns {SVGElement}
 */
export function timeChart(width, times, scale, inside) {
  const { days, now, likely, words, deeds } = times;
  const last = Math.max(1, days.length - 1);
  const [right, floor] = [width - RIGHT, TOP + TALL];
  const x = (/** @type {number} */ day) => LEFT + ((right - LEFT) * day) / last;
  const y = (/** @type {number} */ value) =>
    floor - TALL * Math.min(1, Math.max(0, (value - scale.low) / (scale.high - scale.low)));
  const told = scale.told ?? figure;
  const marks = [scale.low, (scale.low + scale.high) / 2, scale.high].flatMap((value) => [
    svg("line", { class: "rule-line", x1: LEFT, x2: right, y1: y(value), y2: y(value) }),
    svg("text", { class: "scale end", x: LEFT - 7, y: y(value) + 4 }, told(value)),
  ]);
  const picture = svg("svg", {
    viewBox: `0 0 ${width} ${floor + BELOW}`,
    height: floor + BELOW,
    role: "img",
  });
  picture.append(...marks, ...inside(x, y));
  const isLate = (/** @type {number} */ day) => x(day) > LEFT + (right - LEFT) * 0.7;
  const line = (/** @type {number} */ day, /** @type {string} */ kind, /** @type {number} */ top) =>
    svg("line", { class: kind, x1: x(day), x2: x(day), y1: top, y2: floor });
  const beside = (/** @type {number} */ day, /** @type {string} */ kind, text = "") =>
    svg(
      "text",
      { class: isLate(day) ? `${kind} end` : kind, x: x(day) + (isLate(day) ? -4 : 4), y: 12 },
      text,
    );
  const isNear = now >= 0 && likely >= 0 && Math.abs(x(now) - x(likely)) < 150;
  if (now >= 0) {
    picture.append(line(now, "now", 2));
    picture.append(
      isNear && likely >= now
        ? svg("text", { class: "says-now end", x: x(now) - 4, y: 12 }, words.now)
        : beside(now, "says-now", words.now),
    );
  }
  if (likely >= 0) {
    picture.append(line(likely, "likely", 2));
    picture.append(beside(likely, "says-likely", words.likely));
  }
  for (const { day, planned, says } of deeds) {
    picture.append(
      svg(
        "circle",
        { class: planned ? "deed planned" : "deed", cx: x(day), cy: floor + 7, r: 3 },
        svg("title", {}, says),
      ),
    );
  }
  picture.append(...dates(days, x, width));
  return picture;
}

/**
 * @param {string[]} days
 * @param {(day: number) => number} x
 * @param {number} width
 */
function dates(days, x, width) {
  const room = Math.max(1, Math.floor((width - LEFT - RIGHT) / DATE_WIDTH));
  const step = Math.max(1, Math.ceil(days.length / room / DAYS_A_WEEK)) * DAYS_A_WEEK;
  return days.flatMap((day, index) => {
    if (index % step > 0 || x(index) > width - DATE_WIDTH / 2) return [];
    const kind = index === 0 ? "scale" : "scale middle";
    return [svg("text", { class: kind, x: x(index), y: TOP + TALL + BELOW - 6 }, dayInBrief(day))];
  });
}
