// A condition of the book as a reader's words: labels in place of names, and the language's words for how they are joined.
import { factOf } from "../vocabulary.js";
import { asWritten } from "./locale.js";
import { inSentence, spaced, wordsFrom } from "./words.js";

const START = "condition ";
const NAME = "[a-z][a-z0-9]*(?:-[a-z0-9]+)*";

/** @param {string} text */
export function conditionInWords(text) {
  const joints = wordsFrom(START);
  // The longest first: "is not one of" before "is not" before "is".
  const phrases = [...joints.keys()].sort((a, b) => b.length - a.length);
  const pattern = new RegExp(`(?<![\\w-])(?:${phrases.join("|")})(?![\\w-])|${NAME}`, "g");
  /** @type {{ name: string, label: string }[]} */
  let options = [];
  return asWritten(text).replace(pattern, (name) => {
    const fact = factOf(name);
    const option = options.find((one) => one.name === name);
    if (fact && !option) ({ options } = fact);
    const label = option?.label ?? fact?.label;
    return label ? inSentence(label) : (joints.get(name) ?? spaced(name));
  });
}
