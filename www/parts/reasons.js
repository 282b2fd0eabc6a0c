import { enough } from "../engine.js";
import { link } from "../route.js";
import { beatenItem } from "./beaten.js";
import { changeItems } from "./changes.js";
import { evidenceItem } from "./evidence.js";
import { sourceItem } from "./source.js";
import { copy, fill, made, piece, place } from "./template.js";
import { word } from "./words.js";

/**
 * What a piece of advice rests on.
 * @param {import("../engine.js").AdvicePoint} point
 * @param {import("../page.js").State} state
 */
export function reasons(point, state) {
  const block = copy("reasons");
  place(block, "evidence", point.evidence.map(evidenceItem), "rests");
  place(block, "enough", enoughItems(point.rule, state), "sufficient");
  place(block, "changes", changeItems(state, point.rule), "changing");
  place(block, "overruled", point.overruled.map(beatenItem), "beats");
  place(block, "unless", point.unless.map(beatenItem), "unlesses");
  place(block, "sources", point.sources.map(sourceItem), "sourced");
  if (point.amount) {
    place(
      block,
      "working",
      point.amount.working.map((line) => made("li", line)),
    );
    fill(block, { formula: point.amount.formula });
  } else {
    piece(block, "reckoning").remove();
  }
  fill(block, { because: point.because });
  piece(block, "rule").href = link("rules", point.rule);
  return block;
}

/**
 * The smallest set of facts that alone decides a rule.
 * @param {string} rule
 * @param {import("../page.js").State} state
 */
function enoughItems(rule, { journal, on }) {
  const [smallest] = enough(journal, on, rule);
  return (smallest ?? []).map(({ label, shown, allowed }) =>
    made(
      "li",
      word(shown === allowed ? "enough same" : "enough allowed", { label, shown, allowed }),
    ),
  );
}
