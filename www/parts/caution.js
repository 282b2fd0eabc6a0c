import { copy, fill } from "./template.js";

/**
 * Words shown wherever work can hurt.
 * @param {import("../engine.js").CautionInfo} caution
 */
export function cautionItem(caution) {
  const item = copy("caution");
  fill(item, { text: caution.text });
  return item;
}
