// What had to be taken for granted, each with the way to the question that would replace it.
import { copy, fill, made, piece } from "./template.js";
import { whereAsked } from "./where-asked.js";

/** @param {import("../engine.js").Assumed[]} assumed */
export function assumedBlock(assumed) {
  const block = copy("assumed");
  piece(block, "list").append(...assumed.map(assumedItem));
  return block;
}

/** @param {import("../engine.js").Assumed} assumed */
function assumedItem({ fact, label, taken }) {
  const item = copy("assumption");
  const address = whereAsked(fact);
  fill(item, { label, taken });
  if (address) piece(item, "label").href = address;
  else piece(item, "label").replaceWith(made("span", label));
  return item;
}
