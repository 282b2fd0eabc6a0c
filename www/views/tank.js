// My tank: what it was like when it began, and copies of the journal.
import { dayInWords } from "../parts/day.js";
import { fieldFor } from "../parts/field.js";
import { copy, element, fill, piece } from "../parts/template.js";
import { word } from "../parts/words.js";
import { describeTank, nameTank, tank } from "../tank.js";
import { optionOf, profile } from "../vocabulary.js";

/** @typedef {import("../parts/field.js").Field} Field */

/** @type {Field[]} */
const fields = [];

export function create() {
  const groups = profile().map(({ group, facts }) => {
    const node = copy("group");
    const own = facts.map((fact) => profileField(fact));
    fill(node, { label: group.label, about: group.about });
    piece(node, "fields").append(...own.map((field) => field.node));
    fields.push(...own);
    return node;
  });
  element("profile-groups").append(...groups);
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
export function show({ journal }) {
  const name = element("tank-name");
  if (document.activeElement !== name) name.value = journal.name ?? "";
  for (const field of fields) {
    if (field.text() !== said(field.name) && field.isReady()) field.set(said(field.name));
    const note = /** @type {HTMLElement} */ (field.node.querySelector(".since"));
    note.textContent = since(field.name, journal);
    note.hidden = note.textContent === "";
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

/** @param {string} item */
export const open = (item) =>
  ["tanks", "copies"].includes(item) ? element(`title-${item}`) : undefined;
