// How days, numbers and lists are written: as the language of the words has it.
const USUAL = "en-GB";
/** The English of the words is British. */
const SPELLING = new Map([["en", USUAL]]);

let locale = document.documentElement.lang || USUAL;

/**
 * Writes days as some kind of a language writes them; numbers follow the language alone, as those of the engine do.
 * @param {string} name
 */
export function useLocale(name) {
  locale = name || USUAL;
}

export const theLocale = () => locale;

/** The language that the words are in. */
export const language = () => locale.split("-")[0];

/** @type {Map<string, any>} */
const made = new Map();

/**
 * What is made once for a language.
 * @template T
 * @param {string} name
 * @param {(language: string) => T} make
 * @returns {T}
 */
export function forLanguage(name, make) {
  const key = `${name} ${language()}`;
  if (!made.has(key)) made.set(key, make(SPELLING.get(language()) ?? language()));
  return made.get(key);
}

/**
 * A number with so many figures. It is rounded as its bits say, as the program rounds it.
 * @param {number} value
 * @param {number} figures
 */
export const inFigures = (value, figures) =>
  forLanguage(
    `figures ${figures}`,
    (name) =>
      new Intl.NumberFormat(name, { maximumSignificantDigits: figures, useGrouping: false }),
  ).format(Number(value.toPrecision(figures)) + 0);

/** Whether a language writes its numbers with a comma. @param {string} name */
export const writesComma = (name) => new Intl.NumberFormat(name).format(0.5).includes(",");

export const hasComma = () => forLanguage("comma", writesComma);

const NUMBERS = /\d+(?:[.,]\d+)+/g;
const THOUSANDS = /^[1-9]\d{0,2}(?:[.,]\d{3})+$/;

/** @param {string} number */
const swapped = (number) => number.replace(/[.,]/g, (mark) => (mark === "." ? "," : "."));

/**
 * A text of a journal or of a rule with its numbers as the reader writes them.
 * @param {string} text
 */
export const asWritten = (text) => (hasComma() ? text.replace(/(?<=\d)\.(?=\d)/g, ",") : text);

/**
 * What a reader typed, as it was typed, once it has been through `asEntered`.
 * @param {string} text
 */
export const asTyped = (text) =>
  hasComma()
    ? text.replace(NUMBERS, (number) =>
        number.includes(".") || THOUSANDS.exec(number) ? swapped(number) : number,
      )
    : text;

/**
 * The other way round: what a reader typed, with its numbers as a journal holds them. What may mean a thousand is left
 * for the engine to ask about.
 * @param {string} text
 * @param {boolean} [byComma]
 */
export const asEntered = (text, byComma = hasComma()) =>
  byComma
    ? text.replace(NUMBERS, (number) =>
        number.includes(",") || THOUSANDS.exec(number) ? swapped(number) : number,
      )
    : text;
