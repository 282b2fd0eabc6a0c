import { why } from "../engine.js";
import { link, noteOpening } from "../route.js";
import { beatenItem } from "./beaten.js";
import { evidenceItem } from "./evidence.js";
import { mark } from "./mark.js";
import { sourceItem } from "./source.js";
import { copy, fill, made, piece, place } from "./template.js";
import { spaced, titled, word } from "./words.js";

/** @typedef {import("../engine.js").RuleInfo} RuleInfo */
/** @typedef {import("../page.js").State} State */

/**
 * A rule as it stands in the book; the rest is written when it is opened.
 * @param {RuleInfo} rule
 * @param {() => State} state
 */
export function ruleItem(rule, state) {
  const item = /** @type {HTMLDetailsElement} */ (copy("rule"));
  piece(item, "title").textContent = titled(rule.rule);
  item.addEventListener("toggle", () => {
    if (item.open) piece(item, "inside").replaceChildren(inside(rule, state()));
  });
  noteOpening(item, "rules", rule.rule);
  return item;
}

/**
 * Says what the rule does for this tank, and writes an open one anew.
 * @param {HTMLDetailsElement} item
 * @param {string} rule
 * @param {State} state
 */
export function showVerdict(item, rule, { advice }) {
  const isIn = (/** @type {{ rule: string }[]} */ points) =>
    points.some((one) => one.rule === rule);
  const says = [
    isIn(advice?.advice ?? []) && "now speaks",
    isIn((advice?.set_aside ?? []).map((aside) => aside.advice)) && "now aside",
    isIn(advice?.open ?? []) && "now open",
  ].find(Boolean);
  piece(item, "says-now").textContent = says ? word(says) : "";
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
    about: `: ${titled(rule.rule)}`,
  });
  place(
    block,
    "conditions",
    rule.conditions.map((text) => made("li", spaced(text))),
  );
  place(block, "overrules", rule.overrules.map(overruledItem), "overruling");
  place(block, "sources", rule.sources.map(sourceItem));
  place(
    block,
    "cases",
    rule.cases.map((text) => made("li", spaced(text))),
  );
  forThisTank(block, rule, state);
  return block;
}

/**
 * @param {HTMLElement} block
 * @param {RuleInfo} rule
 * @param {State} state
 */
function forThisTank(block, rule, { journal, on }) {
  const answer = why(journal, on, rule.rule);
  if (answer?.kind !== "rule") return;
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
  anchor.textContent = titled(rule);
  item.append(anchor);
  return item;
}
