// One field of an event's form, by what it holds.
import { factOf } from "../vocabulary.js";
import { fieldFor } from "./field.js";
import { asWritten } from "./locale.js";
import { rowsField } from "./rows-field.js";
import { textField } from "./text-field.js";
import { titled, word, wordOr } from "./words.js";

/** @typedef {import("../engine.js").EventField} EventField */
/** @typedef {import("./field.js").Field} Field */

/**
 * @typedef {object} EventPart
 * @property {string} name
 * @property {HTMLElement} node
 * @property {() => any} value what the journal keeps; nothing when left empty
 * @property {(value: any) => void} set
 * @property {() => boolean} isReady
 * @property {(place: string, message: string) => boolean} say shows a mistake at its place, if that is here
 * @property {() => void} focus
 * @property {() => void} written
 */

/**
 * @param {EventField} field
 * @returns {EventPart}
 */
export function eventPart(field) {
  const facts = field.facts.map(factOf).filter((fact) => fact !== undefined);
  if (field.holds === "values") return valuesPart(field.name, facts);
  if (field.holds === "plants" || field.holds === "animals") return rowsField(field, facts);
  if (facts[0]?.kind === "several") return severalPart(field.name, facts[0]);
  return simplePart(field, facts[0]);
}

/**
 * @param {EventField} field
 * @param {import("../engine.js").FactInfo | undefined} fact
 */
function simplePart(field, fact) {
  const label = wordOr(`field ${field.name}`, titled(field.name));
  const example = asWritten(JSON.parse(field.example));
  const how = word("as in", { example: wordOr(`example ${field.name}`, example) });
  const inner = fact ? fieldFor({ ...fact, how: "" }, label) : textField(field.name, label, how);
  return {
    ...inner,
    name: field.name,
    value: () => inner.text() || undefined,
    set: (/** @type {any} */ value) => inner.set(String(value ?? "")),
    say: (/** @type {string} */ place, /** @type {string} */ message) =>
      sayIf(place === field.name, inner, message),
  };
}

/**
 * @param {string} name
 * @param {import("../engine.js").FactInfo} fact
 */
function severalPart(name, fact) {
  const inner = /** @type {any} */ (fieldFor(fact));
  return {
    ...inner,
    name,
    value: () => inner.chosen(),
    set: (/** @type {any} */ value) => inner.set([value ?? []].flat().join(" and ")),
    say: (/** @type {string} */ place, /** @type {string} */ message) =>
      sayIf(place.startsWith(name), inner, message),
  };
}

/**
 * @param {string} name
 * @param {import("../engine.js").FactInfo[]} facts
 */
function valuesPart(name, facts) {
  const node = document.createElement("div");
  const fields = facts.map((fact) => fieldFor(fact, fact.label));
  node.className = "fields";
  node.append(...fields.map((field) => field.node));
  return {
    name,
    node,
    value: () => given(fields),
    set: (/** @type {any} */ values) => {
      for (const field of fields) field.set(String(values?.[field.name] ?? ""));
    },
    isReady: () => fields.map((field) => field.isReady()).every(Boolean),
    say: (/** @type {string} */ place, /** @type {string} */ message) => {
      const field = fields.find((field) => place === `${name}.${field.name}`);
      field?.say(message);
      return field !== undefined;
    },
    focus: () => (fields.find((field) => !field.isReady()) ?? fields[0])?.focus(),
    written: () => {
      for (const field of fields) if (field.text()) field.written();
    },
  };
}

/**
 * Shows a message where it belongs; tells whether it was here.
 * @param {boolean} isHere
 * @param {{ say: (message: string) => void }} field
 * @param {string} message
 */
export function sayIf(isHere, field, message) {
  if (isHere) field.say(message);
  return isHere;
}

/**
 * What some fields hold, by name; nothing if all are empty.
 * @param {Field[]} fields
 */
export function given(fields) {
  const entries = fields.map((field) => [field.name, field.text()]).filter(([, text]) => text);
  return entries.length > 0 ? Object.fromEntries(entries) : undefined;
}
