// Plants and animals: what is wanted, how it goes with the tank and with each other, and in which order it comes.
import { fit } from "../engine.js";
import { fitBlock } from "../parts/fit.js";
import { sentence } from "../parts/sentence.js";
import { copy, element, fill, made, piece, tie } from "../parts/template.js";
import { counted, word } from "../parts/words.js";
import { keep, kept } from "../settings.js";
import { tank } from "../tank.js";
import { factOf, theBook } from "../vocabulary.js";

/** @typedef {import("../page.js").State} State */
/** @typedef {{ name: string, label: string, isCounted: boolean }} Species */

const NAME = "wishes";
const MOST = 10_000;

/** @type {State} */
let state;
/** @type {Species[]} */
let known = [];
/** Each line of the lists. @type {{ node: HTMLElement, words: string }[]} */
const lines = [];
/** What is wanted of each tank, by its id. @type {Record<string, Record<string, number>>} */
let wishes = {};
let shown = "";
let listed = "";

export function create() {
  wishes = kept(NAME) ?? {};
  const lists = ["animals", "plants"].flatMap(listOf);
  known = lists.flatMap(({ species }) => species);
  element("species").append(...lists.map(({ label, species }) => speciesList(label, species)));
  element("species-words").addEventListener("input", search);
}

/**
 * A list of the book, under the label that the book has for it.
 * @param {string} holds
 */
function listOf(holds) {
  const fields = theBook().events.flatMap((event) => event.fields);
  const fact = factOf(fields.find((field) => field.holds === holds)?.facts[0] ?? "");
  const isCounted = holds === "animals";
  const species = (fact?.options ?? []).map(({ name, label }) => ({ name, label, isCounted }));
  return fact ? [{ label: word(`list ${holds}`), species }] : [];
}

/**
 * @param {string} label
 * @param {Species[]} species
 */
function speciesList(label, species) {
  const node = copy("species-list");
  fill(node, { label, count: counted("kinds", species.length) });
  piece(node, "list").append(
    ...species.map((one) => {
      const line = copy("species-line");
      piece(line, "add").prepend(one.label);
      piece(line, "add").addEventListener("click", () => {
        change(one.name, (own()[one.name] ?? 0) + 1);
        say(word("chosen", { label: one.label }));
      });
      lines.push({ node: line, words: `${one.label} ${one.name}`.toLowerCase() });
      return line;
    }),
  );
  return node;
}

function search() {
  const wanted = element("species-words").value.toLowerCase().split(/\s+/).filter(Boolean);
  let count = 0;
  for (const { node, words } of lines) {
    node.hidden = !wanted.every((/** @type {string} */ text) => words.includes(text));
    if (!node.hidden) count += 1;
  }
  for (const group of element("species").children) {
    group.hidden = group.querySelector("li:not([hidden])") === null;
    group.open = wanted.length > 0;
  }
  const told = count > 0 ? counted("kinds", count) : word("no kind");
  element("species-count").textContent = wanted.length > 0 ? told : "";
}

const whose = () => (tank.kind === "own" ? tank.id : tank.kind);

/** What is wanted for the tank that is looked at. */
const own = () => wishes[whose()] ?? {};

/**
 * @param {string} name
 * @param {number} count none takes the wish out
 */
function change(name, count) {
  const { [name]: _, ...others } = own();
  const next = count > 0 ? { ...others, [name]: Math.min(count, MOST) } : others;
  wishes = { ...wishes, [whose()]: next };
  if (tank.kind === "own") keep(NAME, wishes);
  show(state);
}

/** @param {State} now */
export function show(now) {
  state = now;
  showWishes();
  const found = fit(now.journal, now.on, wanted());
  const text = JSON.stringify(found);
  if (text === shown) return;
  shown = text;
  const mistakes = found.mistakes.map(({ message }) => {
    const line = made("p", "");
    line.append(...sentence(message));
    return line;
  });
  element("fit").replaceChildren(...(found.fit ? [fitBlock(found.fit)] : mistakes));
}

export const open = () => undefined;

/** What is wanted, as far as the book knows it. */
const wanted = () =>
  Object.fromEntries(
    Object.entries(own()).filter(([name]) => known.some((one) => one.name === name)),
  );

function showWishes() {
  const names = Object.keys(wanted());
  const text = `${whose()} ${names}`;
  element("wishes-none").hidden = names.length > 0;
  if (text === listed) return;
  listed = text;
  element("wishes").replaceChildren(...names.map(wishItem));
}

/** @param {string} name */
function wishItem(name) {
  const item = copy("wish");
  const { label, isCounted } = known.find((one) => one.name === name) ?? {
    label: name,
    isCounted: true,
  };
  const count = piece(item, "count");
  fill(item, { label, "less-about": ` ${label}` });
  tie(piece(item, "count-label"), count);
  count.value = String(own()[name]);
  piece(item, "number").hidden = !isCounted;
  count.addEventListener("change", () => {
    const isWhole = /^[1-9]\d{0,4}$/.exec(count.value.trim());
    if (isWhole) change(name, Number(count.value));
    piece(item, "says").textContent = isWhole ? "" : word("whole number");
  });
  piece(item, "less").addEventListener("click", () => {
    change(name, 0);
    say(word("left out", { label }));
    element("title-wishes").focus();
  });
  return item;
}

/** @param {string} text */
function say(text) {
  element("species-says").textContent = text;
}
