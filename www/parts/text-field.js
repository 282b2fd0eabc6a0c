import { sentence } from "./sentence.js";
import { copy, fill, freshId, piece, tie } from "./template.js";

/**
 * A field for a text that the vocabulary does not check.
 * @param {string} name
 * @param {string} label
 * @param {string} how
 * @returns {import("./field.js").Field}
 */
export function textField(name, label, how) {
  const node = copy("text");
  const input = piece(node, "input");
  tie(piece(node, "label"), input);
  fill(node, { label, how });
  const says = copy("says");
  says.id = freshId();
  piece(says, "keep").remove();
  node.append(says);
  const say = (/** @type {string} */ message) => {
    piece(says, "text").replaceChildren(...(message ? sentence(message) : []));
    says.dataset.is = message ? "mistake" : "";
    if (message) input.setAttribute("aria-describedby", says.id);
    else input.removeAttribute("aria-describedby");
  };
  return {
    name,
    node,
    say,
    text: () => input.value.trim(),
    set: (text) => {
      input.value = text;
    },
    isReady: () => true,
    focus: () => input.focus(),
    written: () => {},
  };
}
