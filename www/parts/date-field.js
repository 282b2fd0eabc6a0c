import { copy, fill, piece, tie } from "./template.js";

/**
 * @param {{ how: string }} fact
 * @param {string} label
 */
export function dateField(fact, label) {
  const node = copy("date");
  const input = piece(node, "input");
  tie(piece(node, "label"), input);
  fill(node, { label, how: fact.how });
  return {
    node,
    text: () => input.value,
    set: (/** @type {string} */ text) => {
      input.value = text;
    },
    focus: () => input.focus(),
  };
}
