import { beatenItem } from "./beaten.js";
import { copy, fill, place } from "./template.js";

/**
 * Advice that was beaten, and by whom.
 * @param {import("../engine.js").SetAside} aside
 */
export function setAsideItem({ advice, beaten_by }) {
  const item = copy("aside");
  fill(item, { action: advice.action_label, amount: advice.amount?.shown, say: advice.say });
  place(item, "beaten", beaten_by.map(beatenItem));
  return item;
}
