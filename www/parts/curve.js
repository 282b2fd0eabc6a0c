// One reading over the days: a sentence, a picture and a table behind it.
import { dataTable } from "./data-table.js";
import { dayInBrief } from "./day.js";
import { figure, roundAbove, withUnit } from "./figure.js";
import { asWritten } from "./locale.js";
import { drawn, path, svg } from "./svg.js";
import { copy, fill, freshId, piece } from "./template.js";
import { timeChart } from "./time-chart.js";
import { counted, word } from "./words.js";

/** @typedef {import("../engine.js").Curve} Curve */
/** @typedef {import("./time-chart.js").Times} Times */

/** The lines of a band: 5, 25, 50, 75 and 95 % of all tanks lie below them. */
const [LOWEST, LOW, MIDDLE, HIGH, HIGHEST] = [0, 1, 2, 3, 4];
/** So far ahead a sentence looks. */
const AHEAD = 14;
/** A scale whose lowest value lies above this share of the highest need not begin at nothing. */
const FROM_NOTHING = 0.4;

/**
 * @param {Curve} curve
 * @param {Times} times
 */
export function curveFigure(curve, times) {
  const node = copy("figure");
  const { label, unit } = curve;
  const says = sentences(curve, times);
  fill(node, { label, unit: unit === label ? "" : `, ${unit}`, says });
  const picture = drawn((width) =>
    named(
      node,
      timeChart(width, times, span(curve), (x, y) => inside(curve, x, y)),
    ),
  );
  piece(node, "picture").append(picture);
  const head = ["table day", "table middle", "table half", "table most"].map((name) => word(name));
  piece(node, "table").append(dataTable(label, head, () => rows(curve, times.days)));
  return node;
}

/**
 * Names a picture by the heading and the sentence beside it.
 * @param {HTMLElement} node
 * @param {SVGElement} picture
 */
export function named(node, picture) {
  for (const [name, attribute] of [
    ["label", "aria-labelledby"],
    ["says", "aria-describedby"],
  ]) {
    const text = piece(node, name);
    text.id ||= freshId();
    picture.setAttribute(attribute, text.id);
  }
  return picture;
}

/**
 * @param {Curve} curve
 * @param {Times} times
 */
function sentences(curve, { days, now }) {
  const { bands, readings } = curve;
  const at = (/** @type {number} */ day) => ({
    day: dayInBrief(days[day]),
    middle: withUnit(bands[day][MIDDLE], curve),
    low: figure(bands[day][LOWEST]),
    high: figure(bands[day][HIGHEST]),
  });
  const from = Math.max(0, now);
  const later = Math.min(days.length - 1, from + AHEAD);
  const middles = bands.map((band) => band[MIDDLE]);
  const peak = middles.indexOf(Math.max(...middles));
  const latest = readings.at(-1);
  return [
    word("curve", at(from)),
    word("curve later", at(later)),
    word("curve peak", at(peak)),
    latest
      ? counted("curve readings", readings.length, {
          typed: asWritten(latest.typed),
          day: dayInBrief(days[Math.floor(latest.day)] ?? ""),
        })
      : "",
  ]
    .join(" ")
    .trim();
}

/** @param {Curve} curve */
function span({ bands, readings }) {
  const highest = Math.max(
    ...bands.map((band) => band[HIGHEST]),
    ...readings.map(({ high }) => high),
  );
  const lowest = Math.min(...bands.map((band) => band[LOWEST]), ...readings.map(({ low }) => low));
  if (lowest <= FROM_NOTHING * highest) return { low: 0, high: roundAbove(highest) };
  const low = Math.floor(lowest);
  return { low, high: Math.max(Math.ceil(highest), low + 1) };
}

/**
 * @param {Curve} curve
 * @param {(day: number) => number} x
 * @param {(value: number) => number} y
 */
function inside({ bands, readings }, x, y) {
  const edge = (/** @type {number} */ line) =>
    bands.map((band, day) => /** @type {[number, number]} */ ([x(day), y(band[line])]));
  const band = (
    /** @type {number} */ under,
    /** @type {number} */ over,
    /** @type {string} */ kind,
  ) => svg("path", { class: kind, d: `${path([...edge(over), ...edge(under).reverse()])}Z` });
  return [
    band(LOWEST, HIGHEST, "band most"),
    band(LOW, HIGH, "band half"),
    svg("path", { class: "middle-line", d: path(edge(MIDDLE)) }),
    ...readings.map(({ day, low, high, typed }) => {
      const [at, over, under] = [x(day), y(high) - 1.5, y(low) + 1.5];
      const bar = `M${at - 3} ${over}h6m-3 0V${under}m-3 0h6`;
      return svg("path", { class: "reading", d: bar }, svg("title", {}, asWritten(typed)));
    }),
  ];
}

/**
 * @param {Curve} curve
 * @param {string[]} days
 */
function rows({ bands, readings }, days) {
  return bands.map((band, day) => {
    const own = readings.filter((reading) => Math.floor(reading.day) === day);
    const read = own.map(({ typed }) => word("table read", { typed: asWritten(typed) }));
    return [
      [dayInBrief(days[day]), ...read].join(", "),
      figure(band[MIDDLE]),
      word("range", { low: figure(band[LOW]), high: figure(band[HIGH]) }),
      word("range", { low: figure(band[LOWEST]), high: figure(band[HIGHEST]) }),
    ];
  });
}
