import { link } from "../route.js";
import { eventOf, factOf, labelOf, optionOf } from "../vocabulary.js";
import { dayInWords } from "./day.js";
import { asWritten } from "./locale.js";
import { copy, fill, made, piece, place } from "./template.js";
import { inSentence, listed, titled, word, wordOr } from "./words.js";

/** @typedef {import("../tank.js").Entry} Entry */
/** @typedef {import("../engine.js").EventField} EventField */

/** @param {string} name the name of a kind of entry */
export const kindNamed = (name) => wordOr(`kind ${name}`, titled(name));

/** @param {Entry} entry */
export const kindOf = (entry) => kindNamed(String(entry.event));

/**
 * An entry of the journal in words.
 * @param {Entry} entry
 * @param {number} index
 * @param {() => void} remove
 */
export function entryItem(entry, index, remove) {
  const item = copy("entry");
  const about = ` ${kindOf(entry)}, ${dayInWords(entry.on)}`;
  fill(item, {
    kind: kindOf(entry),
    at: entry.at && `, ${entry.at}`,
    note: entry.note,
    "edit-about": about,
    "remove-about": about,
  });
  place(
    item,
    "details",
    details(entry).map((text) => made("li", text)),
  );
  piece(item, "edit").href = link("write", String(index));
  piece(item, "remove").addEventListener("click", remove);
  return item;
}

/**
 * @param {Entry} entry
 * @returns {string[]}
 */
function details(entry) {
  const fields = eventOf(entry.event)?.fields ?? [];
  return fields
    .filter((field) => field.name !== "note" && entry[field.name] !== undefined)
    .flatMap((field) => inWords(field, entry[field.name]));
}

/**
 * @param {EventField} field
 * @param {any} value
 * @returns {string[]}
 */
function inWords(field, value) {
  const [first, second] = field.facts;
  if (field.holds === "values") {
    return Object.entries(value ?? {}).map(
      ([fact, text]) => `${labelOf(fact)} ${valueInWords(fact, text)}`,
    );
  }
  if (!Array.isArray(value)) return [asWritten(String(value))];
  if (value.length === 0) return [word("nothing seen")];
  return value.map((one) => {
    if (typeof one !== "object") return optionOf(first, String(one));
    const raised = one.origin && second ? `, ${inSentence(optionOf(second, one.origin))}` : "";
    return `${one.count ? `${one.count} × ` : ""}${optionOf(first, one.species)}${raised}`;
  });
}

/**
 * What a journal holds of a fact.
 * @param {string} fact
 * @param {unknown} value
 */
export function valueInWords(fact, value) {
  const text = String(value);
  const { kind, options } = factOf(fact) ?? { kind: "", options: [] };
  if (kind === "truth") return wordOr(`condition ${text}`, text);
  if (kind === "several") return listed(text.split(" and ").map((name) => optionOf(fact, name)));
  return options.length > 0 ? optionOf(fact, text) : asWritten(text);
}

/** @param {Entry} entry */
export const entryInWords = (entry) =>
  `${dayInWords(entry.on)}: ${[kindOf(entry), ...details(entry), entry.note].filter(Boolean).join(", ")}`;
