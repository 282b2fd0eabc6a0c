// What a field says about what was entered: a mistake or a question, in one sentence.
import { enter } from "../engine.js";
import { sentence } from "./sentence.js";
import { copy, freshId, piece } from "./template.js";

/**
 * Adds to a field that it asks the engine what an entry is taken for.
 * @param {import("../engine.js").FactInfo} fact
 * @param {any} field
 * @returns {import("./field.js").Field}
 */
export function checked(fact, field) {
  const says = copy("says");
  const keep = piece(says, "keep");
  const asItStands = piece(says, "as-it-stands");
  const control = field.node.querySelector('[data-piece="input"]');
  says.id = freshId();
  keep.hidden = true;
  field.node.append(says);

  const say = (/** @type {string} */ message, isQuestion = false) => {
    piece(says, "text").replaceChildren(...(message ? sentence(message) : []));
    keep.hidden = !isQuestion;
    says.dataset.is = message ? (isQuestion ? "question" : "mistake") : "";
    if (message && !isQuestion) control.setAttribute("aria-invalid", "true");
    else control.removeAttribute("aria-invalid");
    if (message) control.setAttribute("aria-describedby", says.id);
    else control.removeAttribute("aria-describedby");
  };
  const isReady = () => {
    const text = field.text();
    const { mistake, question } = text ? enter(fact.name, text) : {};
    if (!question) asItStands.checked = false;
    say(mistake ?? question ?? "", !mistake && Boolean(question));
    return !mistake && (!question || asItStands.checked);
  };
  field.node.addEventListener("change", (/** @type {Event} */ event) => {
    if (event.target !== asItStands) asItStands.checked = false;
    isReady();
  });
  field.node.addEventListener("input", () => {
    if (says.dataset.is === "mistake") isReady();
  });
  const set = (/** @type {string} */ text) => {
    field.set(text);
    asItStands.checked = false;
    say("");
  };
  return { ...field, set, say, isReady };
}
