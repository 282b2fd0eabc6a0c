import { conditionInWords } from "./condition.js";
import { dayInWords } from "./day.js";
import { evidenceItem } from "./evidence.js";
import { asWritten } from "./locale.js";
import { sourceItem } from "./source.js";
import { copy, fill, made, piece, place } from "./template.js";
import { counted, listed, word } from "./words.js";

/** @typedef {import("../engine.js").Worked} Worked */

/**
 * A value with how it came about, down to what was typed.
 * @param {Worked} value
 * @returns {HTMLElement}
 */
export function valueBlock(value) {
  const block = copy("value");
  fill(block, {
    label: value.label,
    shown: value.shown,
    origin: origin(value),
    formula: value.formula,
    because: value.because,
    "asks-about": ` ${value.label}`,
  });
  place(
    block,
    "working",
    value.working.map((line) => made("li", conditionInWords(line))),
  );
  place(block, "sources", value.sources.map(sourceItem));
  foldOut(block, ".inputs", "inputs", () => value.inputs.map(valueBlock), value.inputs.length);
  foldOut(
    block,
    ".conditions-of",
    "conditions",
    () => value.conditions.map(evidenceItem),
    value.conditions.length,
  );
  if (value.inputs.length > 0) {
    fill(block, { from: listed([...new Set(value.inputs.map((input) => input.label))]) });
  }
  return block;
}

/**
 * Most of what a value rests on is never looked at, so it is written when it is opened.
 * @param {HTMLElement} block
 * @param {string} details
 * @param {string} name
 * @param {() => Node[]} nodes
 * @param {number} count
 */
function foldOut(block, details, name, nodes, count) {
  const fold = block.querySelector(details);
  if (count === 0) fold?.remove();
  fold?.addEventListener("toggle", () => piece(block, name).append(...nodes()), { once: true });
}

/** @param {Worked} value */
function origin(value) {
  const isNumber = value.low != null || value.high != null;
  const typed = asWritten(value.typed ?? "");
  const says = [
    value.from === "unknown" || value.from === "stale" ? word(`from ${value.from}`) : "",
    isNumber && typed && typed !== value.shown
      ? word("typed", { text: word("quoted", { text: typed }) })
      : "",
    value.on ? word("read on", { day: dayInWords(value.on) }) : "",
    value.age_days ? counted("days before", Math.round(value.age_days)) : "",
  ].filter(Boolean);
  return says.length > 0 ? `, ${says.join(", ")}` : "";
}
