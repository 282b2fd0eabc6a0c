// Amounts: all that can be worked out, under headings, and one of them with its form and its result.
import { reckon } from "../engine.js";
import { amountField } from "../parts/amount-field.js";
import { resultBlock } from "../parts/result.js";
import { sentence } from "../parts/sentence.js";
import { copy, element, fill, piece } from "../parts/template.js";
import { capital, counted, spaced, word } from "../parts/words.js";
import { link } from "../route.js";
import { theBook } from "../vocabulary.js";

/** @typedef {import("../engine.js").FunctionInfo} Amount */

/** @type {ReturnType<typeof amountField>[]} */
let fields = [];
let shown = "";
/** Each line of the list, with all words by which it can be found. @type {{ node: HTMLElement, words: string }[]} */
const lines = [];

/** @param {string} name */
const amountOf = (name) => theBook().functions.find((amount) => amount.name === name);

export function create() {
  const groups = new Set(theBook().functions.map(({ group }) => group));
  element("amount-groups").append(...[...groups].map(groupItem));
  element("amount-words").addEventListener("input", search);
  element("amounts").addEventListener("submit", (/** @type {Event} */ event) => {
    event.preventDefault();
    workOut();
  });
}

/** @param {string} group */
function groupItem(group) {
  const own = theBook().functions.filter((amount) => amount.group === group);
  const item = copy("amounts");
  fill(item, { group, count: counted("amounts", own.length) });
  piece(item, "list").append(...own.map(amountItem));
  return item;
}

/** @param {Amount} amount */
function amountItem({ name, label, group, arguments: asked }) {
  const node = copy("amount");
  fill(node, { link: capital(label) });
  piece(node, "link").href = link("amounts", name);
  const options = asked.flatMap((argument) => argument.options.map((option) => option.label));
  const words = [label, spaced(name), group, ...asked.map((argument) => argument.label)];
  lines.push({ node, words: [...words, ...options].join(" ").toLowerCase() });
  return node;
}

function search() {
  const wanted = element("amount-words").value.toLowerCase().split(/\s+/).filter(Boolean);
  let count = 0;
  for (const { node, words } of lines) {
    node.hidden = !wanted.every((/** @type {string} */ text) => words.includes(text));
    if (!node.hidden) count += 1;
  }
  for (const group of element("amount-groups").children) {
    group.hidden = group.querySelector("li:not([hidden])") === null;
    group.open = wanted.length > 0;
  }
  const told = count > 0 ? counted("amounts", count) : word("no amount");
  element("amount-count").textContent = wanted.length > 0 ? told : "";
}

/**
 * @param {import("../page.js").State} _
 * @param {string} item the amount to be shown
 */
export function show(_, item) {
  const amount = amountOf(item);
  element("amount-choice").hidden = amount !== undefined;
  element("amount-one").hidden = amount === undefined;
  if (!amount || amount.name === shown) return;
  shown = amount.name;
  element("amount-title").textContent = capital(amount.label);
  element("amount-formula").textContent = amount.formula;
  fields = amount.arguments.map(amountField);
  element("amount-fields").replaceChildren(...fields.map((field) => field.node));
  element("amount-result").replaceChildren();
}

/**
 * @param {string} item
 * @param {string} previous
 */
export function open(item, previous) {
  if (amountOf(item)) return element("amount-title");
  return previous ? element("title-amounts") : undefined;
}

/**
 * What the engine says of an argument, with the label that stands beside its field.
 * @param {string} mistake
 */
function asLabelled(mistake) {
  const asked = amountOf(shown)?.arguments ?? [];
  const heads = asked.flatMap(({ name, label }) => [
    [`\`${name}\` `, `${label} `],
    [`${name}: `, `${label}: `],
  ]);
  const [head, label] = heads.find(([head]) => mistake.startsWith(head)) ?? ["", ""];
  return label + mistake.slice(head.length);
}

function workOut() {
  const names = amountOf(shown)?.arguments.map(({ name }) => name) ?? [];
  const pairs = names.map((name, index) => [name, fields[index].text()]);
  const { reckoned, mistakes } = reckon(
    shown,
    Object.fromEntries(pairs.filter(([, text]) => text)),
  );
  for (const field of fields) if (field.text()) field.written();
  const result = element("amount-result");
  if (reckoned) return result.replaceChildren(resultBlock(reckoned));
  const list = copy("result-mistakes");
  for (const mistake of mistakes) {
    const line = document.createElement("li");
    line.append(...sentence(asLabelled(mistake)));
    list.append(line);
  }
  result.replaceChildren(list);
  fields.find((field) => !field.text())?.focus();
}
