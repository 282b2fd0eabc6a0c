// A condition of the book as a reader's words: labels in place of names, and the language's words for how they are joined.
import { namedInBook } from "../vocabulary.js";
import { asWritten } from "./locale.js";
import { inSentence, spaced, wordsFrom } from "./words.js";

const HEAD = "condition ";
const NAME = "[a-z][a-z0-9]*(?:-[a-z0-9]+)*";

/** What stands before the colon of a label is its name. @param {string} label */
const short = (label) => inSentence(label.split(":")[0]);

/** @param {string} text */
export function conditionInWords(text) {
  const joints = wordsFrom(HEAD);
  // The longest first: "is not one of" before "is not" before "is".
  const phrases = [...joints.keys()].sort((a, b) => b.length - a.length);
  const word = `(?<![\\p{L}\\d-])(?:${phrases.join("|")}|${NAME})(?![\\p{L}\\d-])`;
  /** @type {{ name: string, label: string }[]} */
  let options = [];
  return asWritten(text).replace(new RegExp(word, "gu"), (name) => {
    const fact = namedInBook(name);
    const option = options.find((one) => one.name === name);
    if (fact && !option) ({ options } = fact);
    const label = option?.label ?? fact?.label;
    return label ? short(label) : (joints.get(name) ?? spaced(name));
  });
}
