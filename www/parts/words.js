// Words stand in the markup; scripts pick them by name and put values in.
import { element } from "./template.js";

/** @type {Map<string, string> | undefined} */
let words;

function all() {
  const terms = element("words").content.querySelectorAll("dt");
  return new Map([...terms].map((term) => [term.textContent, term.nextElementSibling.textContent]));
}

/**
 * A word or a sentence of the page.
 * @param {string} name
 * @param {Record<string, string | number>} [values]
 */
export function word(name, values = {}) {
  words ??= all();
  const text = words.get(name) ?? name;
  return text.replace(/\{(\w+)\}/g, (whole, key) => String(values[key] ?? whole));
}

const plurals = new Intl.PluralRules("en-GB");

/**
 * The form of a word for a count.
 * @param {string} name
 * @param {number} count
 * @param {Record<string, string | number>} [values]
 */
export const counted = (name, count, values = {}) =>
  word(`${name} ${plurals.select(count)}`, { count, ...values });

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

/** @param {string} name */
export const titled = (name) => capital(spaced(name));

/** @param {string[]} texts */
export const listed = (texts) => new Intl.ListFormat("en-GB").format(texts);
