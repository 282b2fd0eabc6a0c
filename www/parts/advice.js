import { note } from "../route.js";
import { labelOf } from "../vocabulary.js";
import { cautionItem } from "./caution.js";
import { mark } from "./mark.js";
import { reasons } from "./reasons.js";
import { copy, fill, piece, place } from "./template.js";
import { listed, word } from "./words.js";

/**
 * One piece of advice. Its reasons are written when they are opened.
 * @param {import("../engine.js").AdvicePoint} point
 */
export function adviceItem(point) {
  const item = copy("advice");
  item.dataset.rule = point.rule;
  item.dataset.urgency = point.urgency;
  piece(item, "mark").append(mark(point.urgency));
  if (point.certain) piece(item, "unsure").remove();
  const wants = point.certain ? [] : point.wants;
  if (wants.length > 0) fill(item, { wanted: listed(wants.map(labelOf)) });
  else piece(item, "wants").remove();
  fill(item, {
    urgency: word(`urgency ${point.urgency}`),
    action: point.action_label,
    amount: point.amount?.shown,
    finding: point.finding,
    say: point.say,
    about: ` ${point.finding}`,
  });
  place(item, "cautions", point.cautions.map(cautionItem));
  const why = /** @type {HTMLDetailsElement} */ (item.querySelector(".why"));
  why.addEventListener("toggle", () => {
    const inside = piece(item, "reasons");
    if (why.open && !inside.firstChild) inside.append(reasons(point));
    note("now", point.rule, why.open);
  });
  return item;
}
