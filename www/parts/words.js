// Words stand in the markup; scripts pick them by name and put values in.
import { theBook } from "../vocabulary.js";
import { forLanguage } from "./locale.js";
import { element } from "./template.js";

/** The words of each markup. @type {WeakMap<HTMLTemplateElement, Map<string, string>>} */
const known = new WeakMap();

function all() {
  const template = /** @type {HTMLTemplateElement} */ (element("words"));
  const found = known.get(template) ?? wordsIn(template);
  known.set(template, found);
  return found;
}

/**
 * @param {HTMLTemplateElement} template
 * @returns {Map<string, string>}
 */
export function wordsIn(template) {
  const terms = [...template.content.querySelectorAll("dt")];
  return new Map(
    terms.map((term) => [term.textContent ?? "", term.nextElementSibling?.textContent ?? ""]),
  );
}

/**
 * A word or a sentence of the page.
 * @param {string} name
 * @param {Record<string, string | number>} [values]
 */
export function word(name, values = {}) {
  const text = all().get(name) ?? name;
  // A value that ends with a point, such as a short month, ends the sentence too.
  return text.replace(/\{(\w+)\}(\.?)/g, (whole, key, point) => {
    const value = String(values[key] ?? whole);
    return value.endsWith(".") ? value : value + point;
  });
}

/**
 * The page's word for something that the engine names, or else other words.
 * @param {string} name
 * @param {string} otherwise
 */
export const wordOr = (name, otherwise) => all().get(name) ?? otherwise;

/**
 * All words whose names begin so, by the rest of the name.
 * @param {string} head
 */
export const wordsFrom = (head) =>
  new Map(
    [...all()]
      .filter(([name]) => name.startsWith(head))
      .map(([name, text]) => [name.slice(head.length), text]),
  );

/** @param {number} count */
const form = (count) =>
  forLanguage("plural", (language) => new Intl.PluralRules(language)).select(count);

/**
 * The form of a word for a count.
 * @param {string} name
 * @param {number} count
 * @param {Record<string, string | number>} [values]
 */
export const counted = (name, count, values = {}) =>
  word(`${name} ${form(count)}`, { count, ...values });

/**
 * A name of the book or of a journal as a reader's words.
 * @param {string} name
 */
export const spaced = (name) => name.replace(/(?<=\w)-(?=[a-z])/g, " ");

/**
 * A text as a sentence or a label begins; a sign that begins with a small letter stays as it is.
 * @param {string} text
 */
export const capital = (text) =>
  /^[a-z][A-Z]/.exec(text) ? text : text.charAt(0).toUpperCase() + text.slice(1);

/**
 * A label within a sentence: small, unless it begins with a name such as one in capitals, or the language keeps capitals.
 * @param {string} label
 */
export const inSentence = (label) =>
  !theBook().keeps_capitals && /^\p{Lu}[\p{Ll}-]*(\s|$)/u.exec(label)
    ? label.charAt(0).toLowerCase() + label.slice(1)
    : label;

/** @param {string} name */
export const titled = (name) => capital(spaced(name));

/** @param {string[]} texts */
export const listed = (texts) =>
  forLanguage("list", (language) => new Intl.ListFormat(language)).format(texts);
