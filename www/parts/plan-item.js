// Something to do on a coming day: what, how sure, and behind it why.
import { link } from "../route.js";
import { cautionItem } from "./caution.js";
import { mark } from "./mark.js";
import { copy, fill, piece, place } from "./template.js";
import { word } from "./words.js";

/** @typedef {import("../engine.js").PlanItem} PlanItem */

/**
 * @param {PlanItem} item
 * @param {(caution: string) => boolean} isNew whether a caution has not been shown above
 */
export function planItem(item, isNew) {
  const node = copy("plan-item");
  const fresh = item.cautions.filter(({ id }) => isNew(id));
  const rest = item.cautions.filter((caution) => !fresh.includes(caution));
  node.dataset.urgency = item.urgency;
  piece(node, "mark").append(mark(item.urgency));
  fill(node, {
    urgency: word(`planned ${item.urgency}`),
    sure: word(item.sure ? "sure" : "not sure"),
    action: item.action_label,
    amount: item.amount,
    about: ` ${item.finding}`,
    finding: item.finding,
    say: item.say,
    because: item.because,
  });
  place(node, "cautions", fresh.map(cautionItem));
  place(node, "more-cautions", rest.map(cautionItem));
  piece(node, "rule").href = link("rules", item.rule);
  return node;
}

/**
 * The same in one line, for paper.
 * @param {PlanItem} item
 */
export const planLine = ({ action_label, amount, sure }) =>
  [action_label, amount, sure ? "" : word("if so")].filter(Boolean).join(", ");
