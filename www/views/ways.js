// Ways to begin, side by side, for this tank and at the keeper's own prices.
import { assumedBlock } from "../parts/assumed.js";
import { percent } from "../parts/figure.js";
import { foretold } from "../parts/foretold.js";
import { lead } from "../parts/press.js";
import { spanRow } from "../parts/span-row.js";
import { copy, element, fill, made, piece, place } from "../parts/template.js";
import { word } from "../parts/words.js";
import { keep, kept } from "../settings.js";

/** @typedef {import("../engine.js").Comparison} Comparison */
/** @typedef {Comparison["starts"][number]} Way */
/** @typedef {import("../engine.js").Span} Span */
/** @typedef {import("../page.js").State} State */

const NAME = "prices";

/** The measures, in the order of what a keeper asks first, each with where the answer holds it. */
const MEASURES = /** @type {const} */ ([
  "days_to_plants",
  "days_to_crew",
  "days_to_fish",
  "litres",
  "changes",
  "hours",
  "cost",
  "salt_g",
]);

/** @type {(asked: import("../forecaster.js").Asked) => void} */
let ask;
/** @type {State} */
let state;

export function create() {
  ask = foretold(element("comparison"), ({ found }) => [comparisonBlock(found)]);
  const known = kept(NAME) ?? {};
  for (const field of fields()) {
    field.value = typeof known[field.name] === "string" ? known[field.name] : "";
    field.addEventListener("change", () => check(field));
  }
  element("prices").addEventListener("submit", (/** @type {Event} */ event) => {
    event.preventDefault();
    const wrong = fields().filter((field) => !check(field));
    if (wrong.length > 0) return lead(wrong[0]);
    keep(NAME, prices());
    show(state);
    element("title-compared").focus();
  });
}

/** @returns {HTMLInputElement[]} */
const fields = () => [...element("prices").querySelectorAll("input")];

/** A price as the engine takes it: a comma is a point. @param {HTMLInputElement} field */
const typed = (field) => field.value.trim().replace(",", ".");

/** @param {HTMLInputElement} field */
const isGood = (field) => /^(\d+(\.\d*)?|\.\d+)?$/.exec(typed(field)) !== null;

/** @param {HTMLInputElement} field */
function check(field) {
  const says = piece(element("prices"), `${field.name} says`);
  const isFine = isGood(field);
  says.textContent = isFine ? "" : word("no price");
  if (isFine) field.removeAttribute("aria-invalid");
  else field.setAttribute("aria-invalid", "true");
  return isFine;
}

const prices = () =>
  Object.fromEntries(
    fields()
      .filter((field) => typed(field) && isGood(field))
      .map((field) => [field.name, typed(field)]),
  );

/** @param {State} now */
export function show(now) {
  state = now;
  const { journal, on } = now;
  ask({ what: "compare", journal, on, prices: prices() });
}

export const open = () => undefined;

/** @param {Comparison} comparison */
function comparisonBlock(comparison) {
  const { assumed, days, say, starts: all } = comparison;
  const block = copy("comparison");
  fill(block, { say, how: word("compared", { days }) });
  place(block, "ways", all.map(wayItem));
  const measures = MEASURES.map((name) => measureTable(name, all, days)).filter(
    (table) => table !== undefined,
  );
  place(block, "measures", measures);
  const classes = all[0]?.plants ?? [];
  place(
    block,
    "melts",
    classes.map((_, index) => meltTable(index, all, days)),
    "melting",
  );
  place(block, "assumed", assumed.length > 0 ? [assumedBlock(assumed)] : []);
  return block;
}

/** What stands before the colon of a label is its name. @param {string} label */
const nameOf = (label) => label.split(":")[0];

/** @param {Way} way */
function wayItem({ label, on_another_bed: other }) {
  const text = other ? `${label}. ${word("other way", { other })}` : `${label}.`;
  return made("li", text);
}

/**
 * @param {typeof MEASURES[number]} name
 * @param {Way[]} all
 * @param {number} days
 */
function measureTable(name, all, days) {
  const rows = all.flatMap((way) => {
    const span = way[name];
    return span ? [{ name: nameOf(way.label), span, more: "" }] : [];
  });
  const isNothing = rows.every(({ span }) => span.high === 0);
  return rows.length > 0 && !isNothing ? table(word(`measure ${name}`), rows, days) : undefined;
}

/**
 * @param {number} index
 * @param {Way[]} all
 * @param {number} days
 */
function meltTable(index, all, days) {
  const rows = all.map(({ label, plants }) => ({
    name: nameOf(label),
    span: plants[index].days_above,
    more: word("melt", { share: percent(plants[index].loss) }),
  }));
  return table(all[0].plants[index].label, rows, days);
}

/**
 * @param {string} title
 * @param {{ name: string, span: Span, more: string }[]} rows
 * @param {number} days
 */
function table(title, rows, days) {
  const node = copy("measure");
  const highest = rows.map(({ span }) => span.high ?? days);
  const scale = { most: Math.max(...highest, 1), beyond: days };
  piece(node, "title").textContent = title;
  piece(node, "rows").append(
    ...rows.map(({ name, span, more }) => spanRow(name, span, { ...scale, more })),
  );
  return node;
}
