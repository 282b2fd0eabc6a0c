import { copy, fill } from "./template.js";
import { word } from "./words.js";

/**
 * A rule that an addition to the book has withdrawn.
 * @param {import("../engine.js").Withdrawn} withdrawn
 */
export function withdrawnItem({ say, by, reason }) {
  const item = copy("withdrawn");
  fill(item, { say, reason: word("withdrawn by", { title: by, reason }) });
  return item;
}
