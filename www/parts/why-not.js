// Why a rule is silent: what keeps it, what would make it speak, and when time alone does.
import { whyNot } from "../engine.js";
import { dayInWords } from "./day.js";
import { mark } from "./mark.js";
import { copy, fill, made, piece, place } from "./template.js";
import { word } from "./words.js";

/** @typedef {import("../engine.js").WhyNot} WhyNot */

/**
 * @param {import("../page.js").State} state
 * @param {string} rule
 */
export function whyNotBlock({ journal, on }, rule) {
  const found = whyNot(journal, on, rule);
  const block = copy("why-not");
  if (!found) return block;
  place(block, "obstacles", found.obstacles.map(obstacleItem), "kept");
  if (found.on) fill(block, { day: dayInWords(found.on) });
  else piece(block, "time").remove();
  const changes = [...found.changes.map(changeItem), ...found.pairs.map(pairItem)];
  place(block, "changes", changes, "speaks");
  return block;
}

/** @param {WhyNot["obstacles"][number]} obstacle */
function obstacleItem({ label, shown, needed, verdict }) {
  const item = copy("obstacle");
  piece(item, "mark").append(mark(verdict));
  fill(item, { verdict: word(`met ${verdict}`), label, shown, needed });
  return item;
}

/** @param {WhyNot["changes"][number]} change */
const changeItem = ({ label, now, to, direction }) =>
  made("li", `${word(`change ${direction}`, { label, now, to })}.`);

/** @param {WhyNot["pairs"][number]} pair */
const pairItem = ([one, other]) =>
  made("li", word("pair", { a: one.label, to: one.to, b: other.label, other: other.to }));
