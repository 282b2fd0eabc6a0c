import { labelOf } from "../vocabulary.js";
import { conditionInWords } from "./condition.js";
import { inFigures } from "./locale.js";
import { mark } from "./mark.js";
import { copy, fill, piece, place } from "./template.js";
import { valueBlock } from "./value.js";
import { listed, word } from "./words.js";

/** @typedef {import("../engine.js").Evidence} Evidence */

const SPREAD_FIGURES = 2;

/**
 * A condition as it was evaluated, with its parts and the values behind it.
 * @param {Evidence} evidence
 * @returns {HTMLElement}
 */
export function evidenceItem(evidence) {
  const item = copy("evidence");
  piece(item, "mark").append(mark(evidence.verdict));
  fill(item, {
    verdict: word(`verdict ${evidence.verdict}`),
    text: conditionInWords(evidence.text),
  });
  for (const form of ["all", "any", "not"]) {
    if (evidence.form !== form) piece(item, form).remove();
  }
  place(item, "parts", evidence.parts.map(evidenceItem));
  place(item, "values", evidence.values.map(valueBlock));
  compare(item, evidence);
  const wants = evidence.parts.length > 0 ? [] : evidence.wants;
  if (wants.length > 0) fill(item, { wanted: listed(wants.map(labelOf)) });
  else piece(item, "wants").remove();
  return item;
}

/**
 * @param {HTMLElement} item
 * @param {Evidence} evidence
 */
function compare(item, { threshold, margin }) {
  if (!threshold) {
    piece(item, "compared").remove();
    return;
  }
  const amount = margin?.shown;
  const spreads = margin?.spreads == null ? "" : inFigures(margin.spreads, SPREAD_FIGURES);
  fill(item, {
    threshold,
    margin: amount && word(spreads ? "margin spreads" : "margin", { amount, spreads }),
  });
}
