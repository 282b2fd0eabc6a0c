// What comes from the worker: a sentence while it is worked out, another if the worker dies, and the answer.
import { foretell } from "../forecaster.js";
import { tank } from "../tank.js";
import { dayInWords } from "./day.js";
import { copy, piece } from "./template.js";
import { unreadableItem } from "./unreadable.js";
import { word } from "./words.js";

/** @typedef {import("../forecaster.js").Asked} Asked */
/** @typedef {import("../forecaster.js").Answer} Answer */

/**
 * Puts a frame into a holder and returns what asks a question for it.
 * @param {HTMLElement} holder
 * @param {(answer: Answer) => Node[]} nodes what is shown of an answer
 * @param {string} soon what is said while it is worked out
 * @returns {(asked: Asked) => void}
 */
export function foretold(holder, nodes, soon = "foretold soon") {
  const frame = copy("foretold");
  const inside = piece(frame, "inside");
  let text = "";
  let whose = "";
  /** @type {Asked} */
  let question;
  holder.append(frame);

  const say = (/** @type {string} */ says) => {
    if (piece(frame, "says").textContent !== says) piece(frame, "says").textContent = says;
  };
  const tell = (/** @type {Answer} */ answer) => {
    const mistakes = answer.mistakes.map(unreadableItem);
    inside.removeAttribute("aria-busy");
    inside.replaceChildren(...(answer.found ? nodes(answer) : []));
    piece(frame, "list").replaceChildren(...mistakes);
    piece(frame, "unreadable").hidden = mistakes.length === 0;
    say(answer.found ? word("foretold", { day: dayInWords(question.on) }) : "");
  };
  const fail = () => {
    inside.removeAttribute("aria-busy");
    piece(frame, "failed").hidden = false;
    say("");
  };
  const ask = (/** @type {Asked} */ asked) => {
    const wanted = JSON.stringify(asked);
    const own = `${tank.kind} ${tank.id}`;
    if (wanted === text) return;
    // What is shown of another tank would be taken for this one's.
    if (own !== whose) inside.replaceChildren();
    [text, whose, question] = [wanted, own, asked];
    piece(frame, "failed").hidden = true;
    inside.setAttribute("aria-busy", "true");
    say(word(soon));
    foretell(asked).then(
      (answer) => wanted === text && tell(answer),
      () => wanted === text && fail(),
    );
  };
  piece(frame, "again").addEventListener("click", () => {
    text = "";
    holder.closest("section")?.querySelector("h2")?.focus();
    ask(question);
  });
  return ask;
}
