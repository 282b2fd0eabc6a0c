// Any number of options; none ticked means that there were none.
import { copy, fill, piece } from "./template.js";

/**
 * @param {{ how: string, options: { name: string, label: string }[] }} fact
 * @param {string} label
 */
export function severalField(fact, label) {
  const node = copy("choice");
  fill(node, { label, how: fact.how });
  const boxes = fact.options.map((option) => {
    const line = copy("check");
    const box = piece(line, "input");
    box.value = option.name;
    fill(line, { label: option.label });
    piece(node, "options").append(line);
    return box;
  });
  const chosen = () => boxes.filter((box) => box.checked).map((box) => box.value);
  return {
    node,
    chosen,
    text: () => chosen().join(" and ") || "none",
    set: (/** @type {string} */ text) => {
      const names = text.split(" and ");
      for (const box of boxes) box.checked = names.includes(box.value);
    },
    focus: () => boxes[0]?.focus(),
  };
}
