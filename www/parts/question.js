import { setAt } from "../tank.js";
import { factOf } from "../vocabulary.js";
import { dayInWords } from "./day.js";
import { fieldFor } from "./field.js";
import { entryAt } from "./place.js";
import { sentence } from "./sentence.js";
import { copy, fill, piece } from "./template.js";

/**
 * Something written down that must be asked about, with a field to answer in.
 * @param {import("../engine.js").Question} question
 */
export function questionItem(question) {
  const item = copy("question");
  const fact = factOf(question.fact);
  const entry = entryAt(question.place);
  piece(item, "text").append(...sentence(question.text));
  fill(item, { day: entry && dayInWords(entry.on) });
  const form = /** @type {HTMLFormElement} */ (item.querySelector("form"));
  if (!fact) {
    form.remove();
    return item;
  }
  const field = fieldFor(fact, question.label);
  piece(item, "field").append(field.node);
  field.set(question.typed);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (!field.isReady()) return field.focus();
    field.written();
    setAt(question.place, field.text());
  });
  return item;
}
