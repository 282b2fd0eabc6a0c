import { link } from "../route.js";
import { titleOf } from "../vocabulary.js";
import { copy, fill, piece } from "./template.js";

/**
 * A rule that beat, or was beaten, with the reason.
 * @param {import("../engine.js").Beaten} beaten
 */
export function beatenItem(beaten) {
  const item = copy("beaten");
  fill(item, { rule: titleOf(beaten.rule), because: beaten.because });
  piece(item, "rule").href = link("rules", beaten.rule);
  return item;
}
