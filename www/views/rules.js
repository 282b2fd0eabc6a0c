// The rule book: chapters, a search, and each rule with its verdict for this tank.
import { ruleItem, showVerdict } from "../parts/rule.js";
import { copy, element, fill, piece } from "../parts/template.js";
import { counted, word } from "../parts/words.js";
import { theBook } from "../vocabulary.js";

/** @typedef {import("../page.js").State} State */

/** @type {State} */
let state;
/** @type {Map<string, HTMLDetailsElement>} */
const items = new Map();

export function create() {
  const { title, edition, rules } = theBook();
  element("book").textContent = word("book", {
    title,
    edition,
    rules: counted("rules", rules.length),
  });
  for (const rule of rules)
    items.set(
      rule.rule,
      ruleItem(rule, () => state),
    );
  element("chapters").append(
    ...theBook()
      .chapters.map(chapterItem)
      .filter((item) => item !== undefined),
  );
  element("rule-words").addEventListener("input", search);
}

/** @param {{ title: string, about: string }} chapter */
function chapterItem({ title, about }) {
  const own = theBook().rules.filter((rule) => rule.chapter === title);
  if (own.length === 0) return undefined;
  const item = copy("chapter");
  fill(item, { title, about, count: counted("rules", own.length) });
  piece(item, "rules").append(...own.map((rule) => items.get(rule.rule)));
  return item;
}

/**
 * @param {State} now
 * @param {string} item the rule to be open
 */
export function show(now, item) {
  state = now;
  for (const [rule, node] of items) showVerdict(node, rule, state);
  if (item) open(item);
}

/** @param {string} item */
export function open(item) {
  const found = items.get(item);
  if (!found) return undefined;
  if (found.hidden) {
    element("rule-words").value = "";
    search();
  }
  const chapter = /** @type {HTMLDetailsElement} */ (found.closest(".chapter"));
  chapter.open = true;
  found.open = true;
  return found.querySelector("summary") ?? undefined;
}

function search() {
  const text = element("rule-words").value.trim().toLowerCase();
  const words = text.split(/\s+/).filter(Boolean);
  let count = 0;
  for (const rule of theBook().rules) {
    const all = searched(rule);
    const isFound = words.every((/** @type {string} */ one) => all.includes(one));
    /** @type {HTMLElement} */ (items.get(rule.rule)).hidden = !isFound;
    if (isFound) count += 1;
  }
  for (const chapter of element("chapters").children) {
    chapter.hidden = !chapter.querySelector(".rule:not([hidden])");
    chapter.open = words.length > 0 && !chapter.hidden;
  }
  const found = count === 0 ? word("found none") : counted("found", count);
  element("rule-count").textContent = words.length > 0 ? found : "";
}

/** @param {import("../engine.js").RuleInfo} rule */
const searched = (rule) =>
  [
    rule.rule,
    rule.rule.replaceAll("-", " "),
    rule.action_label,
    rule.finding,
    rule.say,
    rule.because,
    ...rule.conditions,
    ...rule.sources.map((source) => source.words),
  ]
    .join(" ")
    .toLowerCase();
