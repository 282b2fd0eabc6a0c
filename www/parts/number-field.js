// A number as it is read off: below a mark or not, in one of the units the vocabulary allows.
import { unitUsed, useUnit } from "../units.js";
import { asEntered, asWritten } from "./locale.js";
import { choice, copy, fill, piece, tie } from "./template.js";
import { word } from "./words.js";

/** The word between the ends of a range. */
const TO = "condition to";
/** A plain number or two, with no unit typed behind it. */
const BARE = /^[<>]?\s*-?[\d.,]+(\s+to\s+-?[\d.,]+)?$/;

/**
 * @param {{ name: string, how: string, units: string[], units_said?: string[], bare: boolean, smallest?: number | null }} fact
 * @param {string} label
 */
export function numberField(fact, label) {
  const node = copy("number");
  const input = piece(node, "input");
  const units = piece(node, "units");
  const below = piece(node, "below");
  tie(piece(node, "label"), input);
  fill(node, { label, how: fact.how });
  if (fact.smallest == null) below.closest("label").hidden = true;
  const unit = unitChoice(fact, label, units, piece(node, "unit"));

  const text = () => {
    const typed = asEntered(input.value.trim().replace(` ${word(TO)} `, " to "));
    if (!typed) return "";
    const marked = below.checked && !typed.startsWith("<") ? `< ${typed}` : typed;
    return BARE.exec(marked) && unit() ? `${marked} ${unit()}` : marked;
  };
  const set = (/** @type {string} */ value) => {
    const ending = fact.units.find((name) => value.endsWith(` ${name}`));
    const rest = ending ? value.slice(0, -ending.length).trim() : value;
    if (ending) units.value = ending;
    below.checked = fact.smallest != null && rest.startsWith("<");
    const shown = below.checked ? rest.slice(1).trim() : rest;
    input.value = asWritten(shown.replace(" to ", ` ${word(TO)} `));
  };
  const written = () => useUnit(fact.name, unit());
  return { node, text, set, written, focus: () => input.focus() };
}

/**
 * A unit as the language of the book says it.
 * @param {{ units: string[], units_said?: string[] }} fact
 * @param {number} place
 */
const said = ({ units, units_said: own }, place) => own?.[place] ?? units[place] ?? "";

/**
 * @param {{ name: string, units: string[], units_said?: string[], bare: boolean }} fact
 * @param {string} label
 * @param {HTMLSelectElement} select
 * @param {HTMLElement} only
 */
function unitChoice(fact, label, select, only) {
  if (fact.units.length > 1) {
    only.remove();
    select.append(...fact.units.map((name, place) => choice(said(fact, place), name)));
    select.value = unitUsed(fact.name, fact.units) ?? fact.units[0];
    select.setAttribute("aria-label", word("unit of", { label }));
    return () => select.value;
  }
  select.remove();
  if (fact.bare || fact.units.length === 0) only.remove();
  only.textContent = said(fact, 0);
  return () => (fact.bare ? "" : (fact.units[0] ?? ""));
}
