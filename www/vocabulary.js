// The book's vocabulary by name, and which forms it asks for.
import { findingOf, rules } from "./engine.js";

/** @typedef {import("./engine.js").Description} Description */
/** @typedef {import("./engine.js").FactInfo} FactInfo */

/** @type {Description} */
let book;
/** @type {Map<string, FactInfo>} */
let facts = new Map();
/** Everything that conditions speak of. @type {Map<string, { label: string, options: FactInfo["options"] }>} */
let names = new Map();

/** @param {Description} description */
export function learn(description) {
  book = description;
  known = undefined;
  facts = new Map(description.facts.map((fact) => [fact.name, fact]));
  names = new Map([...description.derived, ...description.facts].map((one) => [one.name, one]));
}

export const theBook = () => book;

/** The rules of the book, which are more than all else in it. @type {import("./engine.js").RuleInfo[] | undefined} */
let known;

export const theRules = () => {
  known ??= rules();
  return known;
};

/** @param {string} name */
export const factOf = (name) => facts.get(name);

/** Whatever a condition calls by a name. @param {string} name */
export const namedInBook = (name) => names.get(name);

/** @param {string} name */
export const labelOf = (name) => facts.get(name)?.label ?? name.replaceAll("-", " ");

/**
 * The label of an option, or the name itself.
 * @param {string} fact
 * @param {string} name
 */
export const optionOf = (fact, name) =>
  facts.get(fact)?.options.find((option) => option.name === name)?.label ?? name;

/** @param {string} name */
export const eventOf = (name) => book?.events.find((event) => event.name === name);

/**
 * The facts that an event's values can name.
 * @param {string} event
 */
export function valuesOf(event) {
  const fields = eventOf(event)?.fields ?? [];
  const names = fields.filter((field) => field.holds === "values").flatMap((field) => field.facts);
  return names.map(factOf).filter((fact) => fact !== undefined);
}

/** What can be said about the tank, under its headings. */
export function profile() {
  const facts = valuesOf("set");
  return book.groups
    .map((group) => ({ group, facts: facts.filter((fact) => fact.group === group.name) }))
    .filter(({ facts }) => facts.length > 0);
}

/**
 * The kind of event under which a fact is written down.
 * @param {string} fact
 */
export const eventFor = (fact) =>
  book.events.find((event) => event.fields.some((field) => field.facts.includes(fact)));

/**
 * A rule's title: what it finds, with a gap where a value of the tank belongs.
 * @param {string} name
 */
export function titleOf(name) {
  const finding = book && findingOf(name);
  if (!finding) return name.replaceAll("-", " ");
  return finding.replace(/\{[^}]*\}/g, "…").replace(/\.$/, "");
}
