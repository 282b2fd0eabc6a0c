// The rule book: chapters, a search, filters, and each rule with its verdict for this tank.
import { standings } from "../engine.js";
import { renew, ruleItem, showVerdict } from "../parts/rule.js";
import { choice, copy, element, fill, piece } from "../parts/template.js";
import { counted, word } from "../parts/words.js";
import { theBook, theRules } from "../vocabulary.js";

/** @typedef {import("../page.js").State} State */

/** @type {State} */
let state;
/** What each rule comes to for the tank that is looked at. @type {Map<string, string>} */
let verdicts = new Map();
const VERDICTS = ["stands", "possible", "open", "set-aside", "silent"];
/** @type {Map<string, HTMLDetailsElement>} */
const items = new Map();

export function create() {
  const { title, edition, chapters } = theBook();
  const rules = theRules();
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
  element("chapters").append(...chapters.map(chapterItem).filter((item) => item !== undefined));
  const during = rules.flatMap((rule) => rule.during);
  const supports = rules.flatMap((rule) => rule.sources.map((source) => source.support));
  offer("rule-stage", during, (stage) => stage);
  offer("rule-support", supports, (support) => word(`support ${support}`));
  offer("rule-verdict", VERDICTS, (verdict) => word(`now ${verdict}`));
  element("rule-search").addEventListener("input", search);
}

/**
 * Fills a filter with what there is to choose.
 * @param {string} id
 * @param {string[]} values
 * @param {(value: string) => string} label
 */
function offer(id, values, label) {
  const all = [...new Set(values)];
  element(id).append(...all.map((value) => choice(label(value), value)));
}

/** @param {{ title: string, about: string }} chapter */
function chapterItem({ title, about }) {
  const own = theRules().filter((rule) => rule.chapter === title);
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
  const isNew = state?.journal !== now.journal || state?.on !== now.on;
  state = now;
  if (isNew) judge();
  if (item) open(item);
}

function judge() {
  const { standings: all } = standings(state.journal, state.on);
  verdicts = new Map(all.map(({ rule, standing }) => [rule, standing]));
  for (const rule of theRules()) {
    const node = /** @type {HTMLDetailsElement} */ (items.get(rule.rule));
    showVerdict(node, verdicts.get(rule.rule) ?? "");
    renew(node, rule, state);
  }
  search();
}

/** @param {string} item */
export function open(item) {
  const found = items.get(item);
  if (!found) return undefined;
  if (found.hidden) {
    for (const id of ["rule-words", "rule-stage", "rule-support", "rule-verdict"]) {
      element(id).value = "";
    }
    search();
  }
  const chapter = /** @type {HTMLDetailsElement} */ (found.closest(".chapter"));
  chapter.open = true;
  found.open = true;
  return found.querySelector("summary") ?? undefined;
}

function search() {
  const words = element("rule-words").value.trim().toLowerCase().split(/\s+/).filter(Boolean);
  const [stage, support, verdict] = ["rule-stage", "rule-support", "rule-verdict"].map(
    (id) => element(id).value,
  );
  const isWanted = (/** @type {import("../engine.js").RuleInfo} */ rule) =>
    (!stage || rule.during.length === 0 || rule.during.includes(stage)) &&
    (!support || rule.sources.some((source) => source.support === support)) &&
    (!verdict || verdicts.get(rule.rule) === verdict) &&
    words.every((/** @type {string} */ one) => searched(rule).includes(one));
  const isNarrow = words.length > 0 || Boolean(stage || support || verdict);
  let count = 0;
  for (const rule of theRules()) {
    const isFound = !isNarrow || isWanted(rule);
    /** @type {HTMLElement} */ (items.get(rule.rule)).hidden = !isFound;
    if (isFound) count += 1;
  }
  for (const chapter of element("chapters").children) {
    const own = chapter.querySelectorAll(".rule:not([hidden])").length;
    chapter.hidden = own === 0;
    piece(chapter, "count").textContent = counted("rules", own);
    if (isNarrow !== wasNarrow || isNarrow) chapter.open = isNarrow && own > 0;
  }
  wasNarrow = isNarrow;
  const found = count === 0 ? word("found none") : counted("found", count);
  const says = isNarrow ? found : "";
  if (element("rule-count").textContent !== says) element("rule-count").textContent = says;
}

/** Whether the last search left rules out. */
let wasNarrow = false;

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
