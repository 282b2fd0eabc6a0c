// A map of two readings: what is said for each pair of them, and where the tank is.
import { allChanges, gatesOf } from "../asked.js";
import { why } from "../engine.js";
import { foretold } from "../parts/foretold.js";
import { readingMap } from "../parts/reading-map.js";
import { scaleOf } from "../parts/scale.js";
import { choice, element } from "../parts/template.js";
import { word } from "../parts/words.js";
import { labelOf, titleOf, valuesOf } from "../vocabulary.js";

/** @typedef {import("../page.js").State} State */
/** @typedef {import("../parts/reading-map.js").Axis} Axis */

/** So many values of each reading are tried. */
const STEPS = 16;

/** @type {(asked: import("../forecaster.js").Asked) => void} */
let ask;
/** @type {State} */
let state;
/** The axes of the answer that is awaited. @type {Axis[]} */
let axes = [];
let offered = "";

const across = () => element("map-across");
const up = () => element("map-up");
const of = () => element("map-of");

/** Readings that can be laid along a line. */
const facts = () => valuesOf("read").filter((fact) => scaleOf(fact, fact.units[0] ?? ""));

export function create() {
  const options = () => facts().map(({ name, label }) => choice(label, name));
  across().append(...options());
  up().append(...options());
  up().selectedIndex = 1;
  element("map-choice").addEventListener("change", () => show(state));
  ask = foretold(
    element("map"),
    ({ found }) => [
      readingMap(found, axes[0], axes[1], of().selectedOptions[0]?.textContent ?? "", inWords),
    ],
    "mapped soon",
  );
}

/** @param {State} now */
export function show(now) {
  state = now;
  offer(now);
  const isTwice = across().value === up().value;
  element("map-twice").hidden = !isTwice;
  if (isTwice) return;
  const chosen = [across().value, up().value];
  axes = chosen.map(axisOf);
  const { journal, on } = now;
  const tried = axes.map(({ values }, index) => [chosen[index], values]);
  ask({
    what: "map",
    journal,
    on,
    axes: /** @type {[string, string[]][]} */ (tried),
    of: of().value,
  });
}

export const open = () => undefined;

/**
 * What a map can be of: the gates, and what is said or asked on the day.
 * @param {State} now
 */
function offer(now) {
  const { advice } = now;
  const rules = [...(advice?.advice ?? []), ...(advice?.open ?? [])].map(({ rule }) => rule);
  const gates = gatesOf(now);
  const text = JSON.stringify([rules, gates.map(({ gate }) => gate)]);
  if (text === offered) return;
  const isFirst = offered === "";
  offered = text;
  const kept = of().value;
  const most = choice(word("map most"), "");
  const asked = group(
    word("map gates"),
    gates.map(({ gate, ask: says }) => choice(says, gate)),
  );
  const said = group(
    word("map rules"),
    rules.map((rule) => choice(titleOf(rule), rule)),
  );
  of().replaceChildren(most, asked, said);
  if (isFirst) begin([...rules, ...gates.map(({ gate }) => gate)]);
  else of().value = kept;
  if (of().selectedIndex < 0) of().value = "";
}

/**
 * Chooses, of some rules and gates, the first that two readings turn, or one, and lays them out.
 * @param {string[]} names
 */
function begin(names) {
  const turned = allChanges(state);
  const turning = (/** @type {string} */ name) =>
    facts()
      .map(({ name }) => name)
      .filter((fact) => turned.some((change) => change.of === name && change.fact === fact));
  const chosen = [2, 1].flatMap((count) =>
    names.filter((name) => turning(name).length >= count),
  )[0];
  of().value = chosen ?? "";
  const [one, two] = chosen ? turning(chosen) : [];
  if (one) across().value = one;
  if (two) up().value = two;
  else if (across().value === up().value) up().selectedIndex = 0;
}

/**
 * @param {string} label
 * @param {HTMLOptionElement[]} options
 */
function group(label, options) {
  const node = document.createElement("optgroup");
  node.label = label;
  node.append(...options);
  return node;
}

/**
 * The values to be tried of a fact, and where the tank is among them.
 * @param {string} name
 * @returns {Axis}
 */
function axisOf(name) {
  const fact = facts().find((one) => one.name === name);
  const known = why(state.journal, state.on, name);
  const worked = known?.kind === "fact" ? known : undefined;
  const units = fact?.units ?? [];
  const unit = units.find((one) => one === worked?.unit) ?? units[0] ?? "";
  const isKnown = worked?.from === "entered" && worked.low != null && worked.high != null;
  const middle = isKnown ? ((worked.low ?? 0) + (worked.high ?? 0)) / 2 : undefined;
  const part = unit === worked?.unit ? partOf(name, middle) : undefined;
  const scale = fact && scaleOf(fact, unit, fact && within(fact, unit, part));
  const values = Array.from({ length: STEPS }, (_, step) => scale?.at(step / (STEPS - 1)) ?? "");
  const here = middle !== undefined && scale ? Math.round(scale.shareOf(middle) * (STEPS - 1)) : -1;
  return { label: labelOf(name), values, here, shown: worked?.shown ?? "" };
}

/**
 * The part of a scale on which something turns, by single changes from where the tank is.
 * @param {string} name
 * @param {number | undefined} middle
 */
function partOf(name, middle) {
  const all = allChanges(state).filter(({ fact, value }) => fact === name && value != null);
  const own = all.filter((change) => change.of === of().value);
  const turns = (own.length > 0 ? own : all).map(({ value }) => value ?? 0);
  if (turns.length === 0) return undefined;
  const places = middle === undefined ? turns : [...turns, middle];
  const [lowest, highest] = [Math.min(...places), Math.max(...places)];
  const beyond = highest > lowest ? (highest - lowest) / 2 : highest / 2;
  return { low: lowest - beyond, high: highest + beyond };
}

/**
 * @param {import("../engine.js").FactInfo} fact
 * @param {string} unit
 * @param {{ low: number, high: number } | undefined} part
 */
function within(fact, unit, part) {
  const { low, high } = fact.scales[Math.max(0, fact.units.indexOf(unit))] ?? {};
  if (!part || low == null || high == null) return undefined;
  const cut = { low: Math.max(low, part.low), high: Math.min(high, part.high) };
  return cut.high > cut.low ? cut : undefined;
}

/** @param {string} verdict */
function inWords(verdict) {
  if (!verdict) return word("map nothing");
  const isGate = gatesOf(state).some(({ gate }) => gate === of().value);
  if (isGate) return word(`gate ${verdict}`).toLowerCase();
  return word(`map ${verdict}`);
}
