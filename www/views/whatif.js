// What if? Readings, answers and the day are moved; what would be said otherwise is told at once.
import { difference } from "../engine.js";
import { part, partGroup } from "../parts/arrange.js";
import { dayInWords, daysAfter } from "../parts/day.js";
import { differenceBlock, differenceInWords } from "../parts/difference.js";
import { valueInWords } from "../parts/entry.js";
import { fieldFor } from "../parts/field.js";
import { scaleField } from "../parts/scale-field.js";
import { sentence } from "../parts/sentence.js";
import { copy, element, fill, made, piece } from "../parts/template.js";
import { word } from "../parts/words.js";
import { labelOf, profile, valuesOf } from "../vocabulary.js";

/** @typedef {import("../page.js").State} State */
/** @typedef {import("../parts/field.js").Field} Field */

/** @type {State} */
let state;
/** @type {Field[]} */
let readings = [];
/** @type {Field[]} */
const answers = [];
/** The values that the fields began with, by name. @type {Map<string, string>} */
const before = new Map();
let shown = "";

export function create() {
  const form = element("whatif");
  readings = valuesOf("read").map((fact) => scaleField(fact, fieldFor(fact, fact.label)));
  const more = element("whatif-tank");
  more.addEventListener("toggle", buildAnswers, { once: true });
  form.addEventListener("input", () => tell(false));
  form.addEventListener("change", () => tell(true));
  element("whatif-days").addEventListener("input", () => {
    element("whatif-on").value = daysAfter(state.on, Number(element("whatif-days").value));
  });
  element("whatif-begin").addEventListener("click", () => {
    begin();
    tell(true);
    element("title-differs").focus();
  });
}

/** The questions about the tank are many and seldom asked. */
function buildAnswers() {
  const groups = profile().map(({ group, facts }) => {
    const node = copy("group");
    const own = facts.map((fact) => fieldFor(fact));
    fill(node, { label: group.label, about: "" });
    for (const field of own)
      setField(field, latest("set", field.name) ?? state.journal.tank[field.name]);
    partGroup(node, own, isAnswered);
    answers.push(...own);
    return node;
  });
  piece(element("whatif-tank"), "fields").append(...groups);
}

const isAnswered = (/** @type {Field} */ field) => before.get(field.name) !== "";

/** @param {State} now */
export function show(now) {
  const isNew = !state || state.journal !== now.journal || state.on !== now.on;
  state = now;
  if (!isNew) return;
  begin();
  tell(true);
}

export const open = () => undefined;

/** Everything as it is. */
function begin() {
  element("whatif-on").value = state.on;
  element("whatif-days").value = "0";
  for (const field of readings) setField(field, latest("read", field.name));
  for (const field of answers)
    setField(field, latest("set", field.name) ?? state.journal.tank[field.name]);
  const more = element("whatif-more");
  part(element("whatif-readings"), more, piece(more, "fields"), readings, isAnswered);
}

/**
 * @param {Field} field
 * @param {unknown} value
 */
function setField(field, value) {
  const text = [value ?? ""].flat().join(" and ");
  field.set(text);
  before.set(field.name, field.text());
}

/**
 * What the journal says last of a fact, up to the day that is asked about.
 * @param {string} event
 * @param {string} fact
 */
function latest(event, fact) {
  const of = state.journal.events.filter(
    (entry) =>
      entry.event === event && entry.on <= state.on && Object.hasOwn(entry.values ?? {}, fact),
  );
  const order = (/** @type {import("../tank.js").Entry} */ one) => `${one.on} ${one.at ?? ""}`;
  return of.reduce((a, b) => (order(b) >= order(a) ? b : a), of[0])?.values[fact];
}

/** What was moved, by name. @param {Field[]} fields */
const moved = (fields) =>
  Object.fromEntries(
    fields
      .filter((field) => field.text() && field.text() !== before.get(field.name))
      .map((field) => [field.name, field.text()]),
  );

/**
 * Works the difference out. What is read aloud changes only once a move has ended.
 * @param {boolean} isEnd
 */
function tell(isEnd) {
  const on = element("whatif-on").value || state.on;
  const events = [
    { event: "read", values: moved(readings) },
    { event: "set", values: moved(answers) },
  ].filter(({ values }) => Object.keys(values).length > 0);
  const dated = events.map((entry) => ({ on, ...entry }));
  const journal = { ...state.journal, events: [...state.journal.events, ...dated] };
  const found = difference({ journal: state.journal, on: state.on }, { journal, on });
  const isMoved = dated.length > 0 || on !== state.on;
  element("whatif-begin").hidden = !isMoved;
  const names = dated.flatMap(({ values }) => Object.entries(values));
  const says = names.map(([fact, text]) => `${labelOf(fact)} ${valueInWords(fact, text)}`);
  if (on !== state.on) says.unshift(dayInWords(on));
  element("whatif-with").textContent = says.join(", ") || word("nothing moved");
  const mistakes = found.mistakes.map(({ message }) => message);
  showResult(found.difference, isMoved ? mistakes : []);
  if (isEnd) say(isMoved && found.difference ? differenceInWords(found.difference) : "");
}

/**
 * @param {import("../engine.js").Difference | null} found
 * @param {string[]} mistakes
 */
function showResult(found, mistakes) {
  const text = JSON.stringify([found, mistakes]);
  if (text === shown) return;
  shown = text;
  const lines = mistakes.map((message) => {
    const line = made("p", "");
    line.append(...sentence(message));
    return line;
  });
  element("whatif-result").replaceChildren(...(found ? [differenceBlock(found)] : lines));
}

/** @param {string} text */
function say(text) {
  const status = element("whatif-says");
  if (status.textContent !== text) status.textContent = text;
}
