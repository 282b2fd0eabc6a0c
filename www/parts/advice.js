import { noteOpening } from "../route.js";
import { labelOf } from "../vocabulary.js";
import { cautionItem } from "./caution.js";
import { mark } from "./mark.js";
import { reasons } from "./reasons.js";
import { copy, fill, piece, place } from "./template.js";
import { listed, word } from "./words.js";

/**
 * One piece of advice. Its reasons are written when they are opened.
 * @param {import("../engine.js").AdvicePoint} point
 * @param {import("../page.js").State} state
 */
export function adviceItem(point, state) {
  const item = copy("advice");
  item.dataset.rule = point.rule;
  item.dataset.urgency = point.urgency;
  piece(item, "mark").append(mark(point.urgency));
  if (point.certain) piece(item, "unsure").remove();
  const asked = point.certain ? "figures-want" : "wants";
  for (const line of ["wants", "figures-want"]) {
    if (line !== asked || point.wants.length === 0) piece(item, line).remove();
    else piece(piece(item, line), "wanted").textContent = listed(point.wants.map(labelOf));
  }
  fill(item, {
    urgency: word(`urgency ${point.urgency}`),
    action: point.action_label,
    amount: point.amount?.shown,
    by: point.by && word("by", { title: point.by }),
    finding: point.finding,
    say: point.say,
    about: ` ${point.finding}`,
  });
  place(item, "cautions", point.cautions.map(cautionItem));
  const why = /** @type {HTMLDetailsElement} */ (item.querySelector(".why"));
  why.addEventListener("toggle", () => {
    const inside = piece(item, "reasons");
    if (why.open && !inside.firstChild) inside.append(reasons(point, state));
  });
  noteOpening(why, "now", point.rule);
  return item;
}
