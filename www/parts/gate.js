import { noteOpening } from "../route.js";
import { labelOf } from "../vocabulary.js";
import { cautionItem } from "./caution.js";
import { changeItems } from "./changes.js";
import { conditionInWords } from "./condition.js";
import { dayInWords } from "./day.js";
import { evidenceItem } from "./evidence.js";
import { mark } from "./mark.js";
import { sourceItem } from "./source.js";
import { copy, fill, piece, place } from "./template.js";
import { capital, counted, listed, word } from "./words.js";

/** @typedef {import("../engine.js").NeedAnswer} NeedAnswer */

/**
 * The answer of a gate.
 * @param {import("../engine.js").GateAnswer} gate
 * @param {import("../page.js").State} state
 */
export function gateItem(gate, state) {
  const item = /** @type {HTMLDetailsElement} */ (copy("gate"));
  item.dataset.gate = gate.gate;
  item.dataset.verdict = gate.verdict;
  piece(item, "mark").append(mark(gate.verdict));
  fill(item, { ask: gate.ask, verdict: word(`gate ${gate.verdict}`), until: until(gate) });
  place(item, "cautions", gate.cautions.map(cautionItem));
  const isMet = (/** @type {NeedAnswer} */ need) => need.met === "holds";
  const met = gate.needs.filter(isMet);
  const unmet = gate.needs.filter((need) => !isMet(need)).sort(failedFirst);
  place(item, "needs", unmet.map(needItem));
  place(item, "met", met.map(needItem), "already");
  if (met.length > 0) fill(item, { "met-count": counted("already met", met.length) });
  place(item, "sources", gate.sources.map(sourceItem), "sourced");
  item.addEventListener("toggle", () => {
    const list = item.querySelector('[data-piece="changes"]');
    if (item.open && list && !list.firstChild) {
      place(item, "changes", changeItems(state, gate.gate, "yes"), "changing");
    }
  });
  noteOpening(item, "may", gate.gate);
  return item;
}

/** The day by which time alone meets every need that is not met, if it does. */
function until(/** @type {import("../engine.js").GateAnswer} */ { needs }) {
  const unmet = needs.filter((need) => need.met !== "holds");
  if (unmet.length === 0 || unmet.some((need) => !need.met_on)) return "";
  const last =
    unmet
      .map((need) => need.met_on ?? "")
      .sort()
      .at(-1) ?? "";
  return word("until", { day: dayInWords(last) });
}

/**
 * What surely fails stands before what is open.
 * @param {NeedAnswer} one
 * @param {NeedAnswer} other
 */
const failedFirst = (one, other) => Number(one.met === "open") - Number(other.met === "open");

/** @param {NeedAnswer} need */
function needItem(need) {
  const item = copy("need");
  const isMet = need.met === "holds";
  const condition = conditionInWords(need.evidence.text);
  item.dataset.met = need.met;
  piece(item, "mark").append(mark(need.met));
  fill(item, {
    verdict: word(`met ${need.met}`),
    need: capital(need.bars ? word("bars", { need: condition }) : condition),
    because: capital(need.because),
  });
  if (need.met_on) fill(item, { date: dayInWords(need.met_on) });
  else piece(item, "met-on").remove();
  const wants = isMet ? [] : need.evidence.wants;
  if (wants.length > 0) fill(item, { wanted: listed(wants.map(labelOf)) });
  else piece(item, "wants").remove();
  item
    .querySelector("details")
    ?.addEventListener(
      "toggle",
      () => piece(item, "evidence").append(evidenceItem(need.evidence)),
      { once: true },
    );
  return item;
}
