import { asTyped } from "./locale.js";
import { capital, word } from "./words.js";

/**
 * What the engine says, as a whole sentence; what stands between backticks is shown as typed.
 * @param {string} text
 * @returns {Node[]}
 */
export function sentence(text) {
  const whole = /[.?!]$/.exec(text) ? text : `${text}.`;
  return capital(whole)
    .split("`")
    .map((part, index) => (index % 2 === 0 ? document.createTextNode(part) : typed(part)))
    .filter((node) => node.textContent !== "");
}

/** @param {string} text */
function typed(text) {
  const node = document.createElement("span");
  node.className = "typed";
  node.textContent = word("quoted", { text: asTyped(text) });
  return node;
}
