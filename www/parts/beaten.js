import { link } from "../route.js";
import { copy, fill, piece } from "./template.js";
import { titled } from "./words.js";

/**
 * A rule that beat, or was beaten, with the reason.
 * @param {import("../engine.js").Beaten} beaten
 */
export function beatenItem(beaten) {
  const item = copy("beaten");
  fill(item, { rule: titled(beaten.rule), because: beaten.because });
  piece(item, "rule").href = link("rules", beaten.rule);
  return item;
}
