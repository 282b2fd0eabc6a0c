import { cautionItem } from "./caution.js";
import { sentence } from "./sentence.js";
import { sourceItem } from "./source.js";
import { copy, fill, made, place } from "./template.js";
import { capital } from "./words.js";

/**
 * An amount that was worked out.
 * @param {import("../engine.js").Reckoned} reckoned
 */
export function resultBlock(reckoned) {
  const block = copy("result");
  fill(block, { label: capital(reckoned.label), shown: reckoned.shown });
  place(
    block,
    "working",
    reckoned.working.map((line) => made("li", line)),
  );
  place(block, "outside", reckoned.outside.map(line));
  place(block, "also", reckoned.also.map(line), "besides");
  place(block, "cautions", reckoned.cautions.map(cautionItem));
  place(block, "sources", reckoned.sources.map(sourceItem), "sourced");
  return block;
}

/** @param {string} text */
function line(text) {
  const item = document.createElement("li");
  item.append(...sentence(text));
  return item;
}
