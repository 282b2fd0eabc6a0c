// The quick form: what the tests read, only the fields that hold something.

import { part } from "../parts/arrange.js";
import { dayInWords } from "../parts/day.js";
import { given } from "../parts/event-field.js";
import { fieldFor } from "../parts/field.js";
import { lead } from "../parts/press.js";
import { writeReadings } from "../parts/readings.js";
import { element, piece } from "../parts/template.js";
import { offerUndo } from "../parts/undo.js";
import { word } from "../parts/words.js";
import { valuesOf } from "../vocabulary.js";

/** @typedef {import("../parts/field.js").Field} Field */

/** @type {Field[]} */
let fields = [];
/** @type {string | undefined} */
let onFirst;

/** @param {{ written: () => void }} ways */
export function create({ written }) {
  fields = valuesOf("read").map((fact) => fieldFor(fact, fact.label));
  element("readings").addEventListener("submit", (/** @type {Event} */ event) => {
    event.preventDefault();
    // The press is drawn before the work that it asks for.
    setTimeout(() => write() && written());
  });
}

/** @param {import("../page.js").State} state */
export function show({ journal, on }) {
  const day = element("readings-on");
  if (onFirst !== on) day.value = on;
  onFirst = on;
  const isUsed = (/** @type {Field} */ field) =>
    journal.events.some(
      (entry) => entry.event === "read" && Object.hasOwn(entry.values ?? {}, field.name),
    );
  const more = element("readings-more");
  part(element("readings-fields"), more, piece(more, "fields"), fields, isUsed);
}

function write() {
  const on = element("readings-on").value;
  const says = element("readings-says");
  says.textContent = "";
  const wrong = fields.filter((field) => field.text() && !field.isReady());
  const values = given(fields);
  if (wrong.length > 0) {
    reveal(wrong[0]);
    return false;
  }
  if (!values || !on) {
    says.textContent = word(on ? "nothing entered" : "no day");
    return false;
  }
  for (const field of fields) {
    if (field.text()) field.written();
    field.set("");
  }
  writeReadings(on, values);
  offerUndo(word("written", { day: dayInWords(on) }), element("title-journal"));
  return true;
}

/** @param {Field} field */
function reveal(field) {
  const more = element("readings-more");
  if (more.contains(field.node)) more.open = true;
  lead(field);
}
