import { why } from "../engine.js";
import { link, noteOpening } from "../route.js";
import { titleOf } from "../vocabulary.js";
import { beatenItem } from "./beaten.js";
import { conditionInWords } from "./condition.js";
import { evidenceItem } from "./evidence.js";
import { mark } from "./mark.js";
import { sourceItem } from "./source.js";
import { copy, fill, made, piece, place } from "./template.js";
import { whyNotBlock } from "./why-not.js";
import { listed, word } from "./words.js";

/** @typedef {import("../engine.js").RuleInfo} RuleInfo */
/** @typedef {import("../page.js").State} State */

/**
 * A rule as it stands in the book; the rest is written when it is opened.
 * @param {RuleInfo} rule
 * @param {() => State} state
 */
export function ruleItem(rule, state) {
  const item = /** @type {HTMLDetailsElement} */ (copy("rule"));
  piece(item, "title").textContent = titleOf(rule.rule);
  item.addEventListener("toggle", () => {
    if (item.open) piece(item, "inside").replaceChildren(inside(rule, state()));
  });
  noteOpening(item, "rules", rule.rule);
  return item;
}

/**
 * Says what the rule does for this tank.
 * @param {HTMLDetailsElement} item
 * @param {string} standing
 */
export function showVerdict(item, standing) {
  piece(item, "says-now").textContent = standing ? word(`now ${standing}`) : "";
}

/**
 * Writes what is open anew, for another journal or day.
 * @param {HTMLDetailsElement} item
 * @param {RuleInfo} rule
 * @param {State} state
 */
export function renew(item, rule, state) {
  if (item.open) piece(item, "inside").replaceChildren(inside(rule, state));
}

/**
 * @param {RuleInfo} rule
 * @param {State} state
 */
function inside(rule, state) {
  const block = copy("rule-inside");
  piece(block, "mark").append(mark(rule.urgency));
  block.dataset.urgency = rule.urgency;
  fill(block, {
    urgency: word(`urgency ${rule.urgency}`),
    action: `· ${rule.action_label}`,
    finding: rule.finding,
    say: rule.say,
    because: rule.because,
    "if-open": word(`if-open ${rule.if_open}`),
    about: `: ${titleOf(rule.rule)}`,
    "why-not-about": `: ${titleOf(rule.rule)}`,
    "try-about": `: ${titleOf(rule.rule)}`,
    by: rule.by && word("by", { title: rule.by }),
    during: rule.during.length > 0 ? word("during", { stages: listed(rule.during) }) : "",
  });
  piece(block, "try").href = link("workshop", rule.rule);
  place(
    block,
    "conditions",
    rule.conditions
      .slice(rule.during.length > 0 ? 1 : 0)
      .map((text) => made("li", conditionInWords(text))),
  );
  place(block, "overrules", rule.overrules.map(overruledItem), "overruling");
  place(block, "sources", rule.sources.map(sourceItem));
  place(
    block,
    "cases",
    rule.cases.map((text) => made("li", conditionInWords(text))),
  );
  forThisTank(block, rule, state);
  return block;
}

/**
 * @param {HTMLElement} block
 * @param {RuleInfo} rule
 * @param {State} state
 */
function forThisTank(block, rule, state) {
  const { journal, on } = state;
  const answer = why(journal, on, rule.rule);
  if (answer?.kind !== "rule") return;
  const fold = /** @type {HTMLDetailsElement} */ (piece(block, "why-not"));
  if (answer.verdict === "holds") fold.remove();
  fold.addEventListener(
    "toggle",
    () => piece(block, "why-not-inside").append(whyNotBlock(state, rule.rule)),
    { once: true },
  );
  piece(block, "verdict-mark").append(mark(answer.verdict));
  fill(block, { verdict: word(`rule ${answer.verdict}`) });
  place(block, "beaten", answer.beaten_by.map(beatenItem));
  place(block, "evidence", answer.point.evidence.map(evidenceItem));
}

/** @param {string} rule */
function overruledItem(rule) {
  const item = document.createElement("li");
  const anchor = document.createElement("a");
  anchor.href = link("rules", rule);
  anchor.textContent = titleOf(rule);
  item.append(anchor);
  return item;
}
