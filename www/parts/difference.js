// How one answer differs from another: what is said now, what no longer, what otherwise, and which gates move.
import { link } from "../route.js";
import { mark } from "./mark.js";
import { copy, fill, piece, place } from "./template.js";
import { counted, word } from "./words.js";

/** @typedef {import("../engine.js").Difference} Difference */
/** @typedef {import("../engine.js").AdvicePoint} AdvicePoint */

/**
 * @param {Difference} difference
 * @param {(rule: string) => boolean} [isLinked] whether the book that is shown has the rule
 */
export function differenceBlock(difference, isLinked = () => true) {
  const block = copy("difference");
  const item = (/** @type {AdvicePoint} */ point) => pointItem(point, isLinked(point.rule));
  place(block, "appeared", difference.appeared.map(item), "appears");
  place(block, "vanished", difference.vanished.map(item), "vanishes");
  place(block, "moved", difference.moved.map(movedItem), "moves");
  place(block, "gates", difference.gates.map(gateItem), "gated");
  return block;
}

/** @param {Difference} difference */
export function differenceInWords({ appeared, vanished, moved, gates }) {
  const count = appeared.length + vanished.length + moved.length + gates.length;
  return count === 0 ? word("differs none") : counted("differs", count);
}

/**
 * @param {AdvicePoint} point
 * @param {boolean} isLinked
 */
function pointItem(point, isLinked) {
  const item = copy("point");
  item.dataset.urgency = point.urgency;
  piece(item, "mark").append(mark(point.urgency));
  fill(item, {
    urgency: word(`urgency ${point.urgency}`),
    unsure: point.certain ? "" : word("unsure"),
    action: point.action_label,
    amount: point.amount?.shown,
    finding: point.finding,
    say: point.say,
    by: point.by && word("by", { title: point.by }),
  });
  if (isLinked) piece(item, "rule").href = link("rules", point.rule);
  else piece(item, "rule").remove();
  return item;
}

/** @param {{ before: AdvicePoint, after: AdvicePoint }} moved */
function movedItem({ before, after }) {
  const item = pointItem(after, true);
  const was = [
    before.certain !== after.certain && word(before.certain ? "was certain" : "was unsure"),
    before.amount?.shown !== after.amount?.shown &&
      before.amount?.shown &&
      word("was amount", { amount: before.amount.shown }),
    before.finding !== after.finding && word("was found", { finding: before.finding }),
  ].filter((one) => typeof one === "string");
  piece(item, "was").textContent = was.join(" ");
  return item;
}

/** @param {Difference["gates"][number]} gate */
function gateItem({ ask, before, after }) {
  const item = copy("gate-moved");
  piece(item, "mark").append(mark(after));
  fill(item, {
    ask,
    after: word(`gate ${after}`),
    before: word("was gate", { verdict: word(`gate ${before}`).toLowerCase() }),
  });
  return item;
}
