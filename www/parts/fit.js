// How plants and animals go with the tank and with each other, and in which order the animals come.
import { link } from "../route.js";
import { titleOf } from "../vocabulary.js";
import { cautionItem } from "./caution.js";
import { mark } from "./mark.js";
import { sourceItem } from "./source.js";
import { copy, fill, made, piece, place } from "./template.js";
import { whereAsked } from "./where-asked.js";
import { counted, spaced, word } from "./words.js";

/** @typedef {import("../engine.js").Fit} Fit */
/** @typedef {import("../engine.js").Unsure} Unsure */
/** @typedef {import("../engine.js").AdvicePoint} AdvicePoint */

/** @param {Fit} fit */
export function fitBlock(fit) {
  const block = copy("fit");
  const silent = fit.pairs_looked_at - fit.pairs.length;
  place(block, "species", fit.species.map(speciesItem), "alone");
  place(block, "pairs", fit.pairs.map(pairItem));
  fill(block, { silent: silent > 0 ? counted("pairs silent", silent) : "" });
  if (fit.pairs_looked_at === 0) piece(block, "together").remove();
  place(
    block,
    "never",
    fit.never.map((label) => made("li", word("never", { label }))),
  );
  place(block, "gates", fit.gates.map(gateLine), "gated");
  place(block, "steps", fit.steps.map(stepItem), "order");
  return block;
}

/** @param {Fit["species"][number]} one */
function speciesItem(one) {
  const item = copy("species-fit");
  fill(item, { label: one.label, count: howMany(one) });
  const isFine = one.clashes.length === 0 && one.unsure.length === 0;
  fill(item, { fine: isFine ? word("fits") : "", "told-about": `: ${one.label}` });
  place(item, "clashes", one.clashes.map(clashItem));
  place(item, "unsure", unsureBlocks(one.unsure));
  const own = one.by ? [{ label: one.by, shown: one.reason }] : [];
  const rows = [...own, ...one.told].map(({ label, shown }) => {
    const row = document.createElement("tr");
    const name = made("th", label);
    name.setAttribute("scope", "row");
    row.append(name, made("td", spaced(shown)));
    return row;
  });
  piece(item, "told").append(...rows);
  place(item, "sources", one.sources.map(sourceItem));
  return item;
}

/** @param {Fit["species"][number]} one */
function howMany({ is_animal: isAnimal, in_tank: inside, count }) {
  if (!isAnimal) return word(inside > 0 ? "in the tank" : "wanted");
  if (inside === 0) return word("count wanted", { count });
  return word(inside === count ? "count inside" : "count more", { inside, count });
}

/** @param {Fit["pairs"][number]} pair */
function pairItem(pair) {
  const item = copy("pair-fit");
  fill(item, { pair: word("two", { first: pair.first_label, second: pair.second_label }) });
  place(item, "clashes", pair.clashes.map(clashItem));
  place(item, "unsure", unsureBlocks(pair.unsure));
  return item;
}

/** @param {AdvicePoint} point */
function clashItem(point) {
  const item = copy("clash");
  item.dataset.urgency = point.urgency;
  piece(item, "mark").append(mark(point.urgency));
  fill(item, {
    urgency: word(`urgency ${point.urgency}`),
    unsure: point.certain ? "" : word("unsure"),
    finding: point.finding,
    say: point.say,
    because: point.because,
    by: point.by && word("by", { title: point.by }),
    about: ` ${point.finding}`,
  });
  place(item, "cautions", point.cautions.map(cautionItem));
  place(item, "sources", point.sources.map(sourceItem));
  piece(item, "rule").href = link("rules", point.rule);
  return item;
}

/**
 * What cannot be told yet: the questions that would settle it, and behind them the rules that ask.
 * @param {Unsure[]} unsure
 */
function unsureBlocks(unsure) {
  if (unsure.length === 0) return [];
  const block = copy("unsure-fit");
  const wants = unsure.flatMap((one) => one.wants);
  const facts = [...new Map(wants.map((want) => [want.fact, want])).values()];
  const asked = facts.filter(({ ask }) => ask);
  const left = facts.filter(({ ask }) => !ask).map(({ label }) => label);
  place(block, "asks", asked.map(askItem), "asking");
  fill(block, { left: left.length > 0 ? word("open in book", { labels: left.join("; ") }) : "" });
  piece(block, "rules").append(...unsure.map(({ rule }) => ruleLink(rule)));
  return [block];
}

/** @param {Unsure["wants"][number]} wants */
function askItem({ fact, ask }) {
  const address = whereAsked(fact);
  return address ? linked(address, ask) : made("li", ask);
}

/** @param {string} rule */
const ruleLink = (rule) => linked(link("rules", rule), titleOf(rule));

/**
 * @param {string} address
 * @param {string} text
 */
function linked(address, text) {
  const item = document.createElement("li");
  const anchor = document.createElement("a");
  anchor.href = address;
  anchor.textContent = text;
  item.append(anchor);
  return item;
}

/** @param {Fit["steps"][number]} step */
function stepItem({ count, label, turn, days_after: after, clashes }) {
  const item = copy("step");
  fill(item, {
    what: `${count} × ${label}`,
    turn,
    after: after == null ? "" : word("days after", { days: after }),
    clashes: clashes ? word("settle first") : "",
  });
  return item;
}

/** @param {Fit["gates"][number]} gate */
function gateLine({ gate, ask, verdict }) {
  const item = copy("gate-line");
  piece(item, "mark").append(mark(verdict));
  fill(item, { ask, verdict: word(`gate ${verdict}`) });
  piece(item, "ask").href = link("may", gate);
  return item;
}
