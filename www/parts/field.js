// One field for a fact of the vocabulary, whatever its kind.
import { choiceField, truthField } from "./choice-field.js";
import { dateField } from "./date-field.js";
import { numberField } from "./number-field.js";
import { checked } from "./says.js";
import { severalField } from "./several-field.js";

/** @typedef {import("../engine.js").FactInfo} FactInfo */

/**
 * @typedef {object} Field
 * @property {string} name what it is called in a journal
 * @property {HTMLElement} node
 * @property {() => string} text what is entered, as a journal keeps it; empty for nothing
 * @property {(text: string) => void} set
 * @property {() => boolean} isReady whether it can be written down; if not, it says why
 * @property {(message: string) => void} say
 * @property {() => void} focus
 * @property {() => void} written what was entered has been written down
 */

/** @type {Record<string, (fact: FactInfo, label: string) => any>} */
const kinds = {
  number: numberField,
  series: numberField,
  choice: choiceField,
  truth: truthField,
  several: severalField,
  date: dateField,
};

/**
 * A field for a fact, under its question or under a label of one's own.
 * @param {FactInfo} fact
 * @param {string} [label]
 * @returns {Field}
 */
export function fieldFor(fact, label = fact.ask || fact.label) {
  const field = (kinds[fact.kind] ?? numberField)(fact, label);
  return checked(fact, { written: () => {}, ...field, name: fact.name });
}
