import { dayInWords } from "./day.js";
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
  });
  place(
    block,
    "working",
    value.working.map((line) => made("li", line)),
  );
  place(block, "sources", value.sources.map(sourceItem));
  const inputs = block.querySelector(".inputs");
  if (value.inputs.length === 0) {
    inputs?.remove();
    return block;
  }
  fill(block, { from: listed([...new Set(value.inputs.map((input) => input.label))]) });
  // Most inputs are never looked at, so they are worked out when they are opened.
  inputs?.addEventListener(
    "toggle",
    () => piece(block, "inputs").append(...value.inputs.map(valueBlock)),
    { once: true },
  );
  return block;
}

/** @param {Worked} value */
function origin(value) {
  const isNumber = value.low != null || value.high != null;
  const says = [
    value.from === "unknown" || value.from === "stale" ? word(`from ${value.from}`) : "",
    isNumber && value.typed && value.typed !== value.shown
      ? word("typed", { text: `“${value.typed}”` })
      : "",
    value.on ? word("read on", { day: dayInWords(value.on) }) : "",
    value.age_days ? counted("days before", Math.round(value.age_days)) : "",
  ].filter(Boolean);
  return says.length > 0 ? `, ${says.join(", ")}` : "";
}
