// My tank: what it was like when it began, and copies of the journal.
import { partGroup } from "../parts/arrange.js";
import { dayInWords } from "../parts/day.js";
import { fieldFor } from "../parts/field.js";
import { copy, element, fill } from "../parts/template.js";
import { word } from "../parts/words.js";
import { describeTank, nameTank, tank } from "../tank.js";
import { optionOf, profile } from "../vocabulary.js";

/** @typedef {import("../parts/field.js").Field} Field */

/** So many of the questions that advice would like answered stand open. */
const WANTED = 5;

/** @type {Field[]} */
const fields = [];
/** The headings with their fields. @type {{ node: HTMLElement, own: Field[] }[]} */
let headings = [];
/** The tank for which the fields were last arranged, and what advice asks of it. */
let arrangedFor = "";
/** @type {Set<string>} */
let wanted = new Set();

export function create() {
  headings = profile().map(({ group, facts }) => {
    const node = copy("group");
    const own = facts.map((fact) => profileField(fact));
    fill(node, { label: group.label, about: group.about });
    fields.push(...own);
    return { node, own };
  });
  element("profile-groups").append(...headings.map(({ node }) => node));
  element("tank-name").addEventListener("change", () =>
    nameTank(element("tank-name").value.trim()),
  );
}

/** @param {import("../engine.js").FactInfo} fact */
function profileField(fact) {
  const field = fieldFor(fact);
  field.node.append(copy("since"));
  field.node.addEventListener("change", () => {
    if (!field.isReady() || field.text() === said(fact.name)) return;
    field.written();
    describeTank(fact.name, field.text());
  });
  return field;
}

/** @param {string} fact */
const said = (fact) => String(tank.journal.tank[fact] ?? "");

/** @param {import("../page.js").State} state */
export function show({ journal, advice }) {
  const name = element("tank-name");
  if (document.activeElement !== name) name.value = journal.name ?? "";
  for (const field of fields) {
    if (field.text() !== said(field.name) && field.isReady()) field.set(said(field.name));
    const note = /** @type {HTMLElement} */ (field.node.querySelector(".since"));
    note.textContent = since(field.name, journal);
    note.hidden = note.textContent === "";
  }
  wanted = new Set(advice?.wanted.slice(0, WANTED).map(({ fact }) => fact));
  const shown = `${tank.kind} ${tank.id}`;
  if (shown !== arrangedFor) settle();
  arrangedFor = shown;
}

/** The first questions of each heading stand open, with what is answered and what advice asks. */
function settle() {
  for (const { node, own } of headings) {
    partGroup(node, own, ({ name }) => said(name) !== "" || wanted.has(name));
  }
}

/**
 * What a later entry says instead, if there is one.
 * @param {string} fact
 * @param {import("../tank.js").Journal} journal
 */
function since(fact, { events }) {
  const later = events.filter((entry) => entry.event === "set" && entry.values?.[fact]);
  const last = later.reduce((a, b) => (a && a.on > b.on ? a : b), later[0]);
  if (!last) return "";
  const value = optionOf(fact, String(last.values[fact]));
  return word("since", { day: dayInWords(last.on), value });
}

/**
 * Goes to a part of the view, or to the question about a fact.
 * @param {string} item
 */
export function open(item) {
  settle();
  if (["tanks", "copies"].includes(item)) return element(`title-${item}`);
  const asked = fields.find((field) => field.name === item);
  if (!asked) return undefined;
  const fold = asked.node.closest("details");
  if (fold) fold.open = true;
  return /** @type {HTMLElement} */ (asked.node.querySelector('[data-piece="input"], select'));
}
