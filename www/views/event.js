// The form for everything else that happens, built from the kinds of event; it also changes an entry.
import { advise } from "../engine.js";
import { dayInWords } from "../parts/day.js";
import { eventPart } from "../parts/event-field.js";
import { lead } from "../parts/press.js";
import { sentence } from "../parts/sentence.js";
import { choice, element } from "../parts/template.js";
import { offerUndo } from "../parts/undo.js";
import { word } from "../parts/words.js";
import { add, replace, tank } from "../tank.js";
import { eventOf, theBook } from "../vocabulary.js";

/** @typedef {import("../tank.js").Entry} Entry */
/** @typedef {import("../parts/event-field.js").EventPart} EventPart */

/** @type {EventPart[]} */
let parts = [];
/** @type {number | undefined} */
let edited;
let leave = () => {};

/** @param {{ done: () => void }} ways */
export function create({ done }) {
  leave = done;
  const kind = element("event-kind");
  kind.append(...theBook().events.map(({ name, meaning }) => choice(meaning, name)));
  kind.addEventListener("change", build);
  element("event").addEventListener("submit", (/** @type {Event} */ event) => {
    event.preventDefault();
    write();
  });
  element("event-leave").addEventListener("click", () => {
    begin();
    leave();
  });
  begin();
}

/** @param {import("../page.js").State} state */
export function show({ on }) {
  if (edited === undefined && !element("event-on").value) element("event-on").value = on;
}

/**
 * An empty form, for a kind of event if one is named.
 * @param {string} [kind]
 * @param {string} [on]
 */
export function begin(kind = "", on = "") {
  edited = undefined;
  fillIn({ event: kind, on });
}

/**
 * The form with an entry in it.
 * @param {number} index
 */
export function edit(index) {
  const entry = tank.journal.events[index];
  if (!entry) return false;
  edited = index;
  fillIn(entry);
  return true;
}

/** @param {Entry} entry */
function fillIn(entry) {
  const kind = element("event-kind");
  const isNew = edited === undefined;
  const unused = theBook().events.find(({ name }) => name !== "read")?.name ?? "";
  for (const option of kind.options) option.hidden = isNew && option.value === "read";
  kind.value = eventOf(entry.event) ? entry.event : unused;
  build();
  for (const part of parts) part.set(entry[part.name]);
  element("event-on").value = entry.on;
  element("event-at").value = entry.at ?? "";
  element("event-note").value = entry.note ?? "";
  element("event-new").hidden = !isNew;
  element("event-edit").hidden = isNew;
  element("event-leave").hidden = isNew;
}

function build() {
  const fields = eventOf(element("event-kind").value)?.fields ?? [];
  parts = fields.filter(({ name }) => name !== "note").map(eventPart);
  const nodes = parts.map((part) => part.node);
  element("event-fields").replaceChildren(...nodes);
  if (fields.some((field) => field.needed === "one-of")) {
    const hint = document.createElement("p");
    hint.className = "quiet";
    hint.textContent = word("one of");
    element("event-fields").prepend(hint);
  }
  element("event-says").replaceChildren();
}

/** @returns {Entry} */
function written() {
  const value = (/** @type {string} */ id) => element(id).value.trim() || undefined;
  const pairs = parts.map((part) => [part.name, part.value()]);
  const all = {
    on: value("event-on"),
    at: value("event-at"),
    event: element("event-kind").value,
    ...Object.fromEntries(pairs),
    note: value("event-note"),
  };
  return /** @type {any} */ (
    Object.fromEntries(Object.entries(all).filter(([, one]) => one !== undefined))
  );
}

function write() {
  const wrong = parts.filter((part) => !part.isReady());
  const entry = written();
  element("event-says").replaceChildren();
  if (wrong.length > 0) return lead(wrong[0]);
  if (!entry.on) return say(word("no day"));
  const mistakes = mistakesOf(entry);
  if (mistakes.length > 0) {
    const told = mistakes.map(tell).find((part) => part);
    return told && lead(told);
  }
  for (const part of parts) part.written();
  const isNew = edited === undefined;
  if (edited === undefined) add(entry);
  else replace(edited, entry);
  offerUndo(
    isNew ? word("written", { day: dayInWords(entry.on) }) : word("changed"),
    element("title-journal"),
  );
  begin("", entry.on);
  leave();
}

/**
 * What the engine finds wrong with an entry, each with its place in it.
 * @param {Entry} entry
 */
function mistakesOf(entry) {
  const events = [...tank.journal.events];
  const index = edited ?? events.length;
  events[index] = entry;
  const { mistakes } = advise({ ...tank.journal, events }, entry.on);
  const own = `events[${index}]`;
  return mistakes
    .filter(({ place }) => place.startsWith(own))
    .map((mistake) => ({ ...mistake, place: mistake.place.slice(own.length + 1) }));
}

/**
 * Tells a mistake at the part that it belongs to, if there is one.
 * @param {import("../engine.js").JournalMistake} mistake
 */
function tell({ place, message, hint }) {
  const text = [message, hint].filter(Boolean).join("; ");
  const told = parts.find((part) => part.say(place, text));
  if (!told) say(text);
  return told;
}

/** @param {string} text */
function say(text) {
  const line = document.createElement("li");
  line.append(...sentence(text));
  element("event-says").append(line);
}
