// One argument of an amount: a number with its unit, a choice, or a word that stands for a number.
import { asWritten } from "./locale.js";
import { numberField } from "./number-field.js";
import { choice, copy, fill, piece, tie } from "./template.js";
import { capital, word } from "./words.js";

/** @typedef {import("../engine.js").FunctionInfo["arguments"][number]} Argument */

/** What the select says while a figure is typed. */
const OWN = "own figure";

/** @param {Argument} argument */
export function amountField(argument) {
  if (argument.is_choice) return choiceOnly(argument);
  return argument.options.length > 0 ? worded(argument) : number(argument);
}

/** @param {Argument} argument */
function number(argument) {
  const { name, how, units, low, high } = argument;
  const unit = units[0] ? ` ${units[0]}` : "";
  const isBounded = Number.isFinite(low) && Number.isFinite(high);
  const within = isBounded
    ? word("within", { low: asWritten(`${low}`), high: asWritten(`${high}${unit}`) })
    : "";
  // The unit is remembered by what is measured, for all amounts that ask for it.
  const fact = { name: `amount ${name}`, how: `${how} ${within}`.trim(), units, bare: !units[0] };
  return numberField(fact, capital(argument.label));
}

/** @param {Argument} argument */
function choiceOnly(argument) {
  const { how, options } = argument;
  const node = copy("select");
  const select = piece(node, "input");
  tie(piece(node, "label"), select);
  fill(node, { label: capital(argument.label), how });
  if (options.length > 1) select.append(choice(word("choose"), ""));
  select.append(...options.map((option) => choice(option.label, option.name)));
  return field(node, () => select.value, select);
}

/** @param {Argument} argument */
function worded(argument) {
  const node = copy("worded");
  const words = piece(node, "words");
  tie(piece(node, "label"), words);
  fill(node, { label: capital(argument.label) });
  words.append(
    choice(word("choose"), ""),
    ...argument.options.map((option) => choice(option.label, option.name)),
    choice(word(OWN), OWN),
  );
  const figure = number(argument);
  piece(node, "figure").append(figure.node);
  const isOwn = () => words.value === OWN;
  const follow = () => {
    figure.node.hidden = !isOwn();
  };
  words.addEventListener("change", follow);
  follow();
  return {
    node,
    text: () => (isOwn() ? figure.text() : words.value),
    written: () => isOwn() && figure.written(),
    focus: () => (isOwn() ? figure.focus() : words.focus()),
  };
}

/**
 * @param {HTMLElement} node
 * @param {() => string} text
 * @param {HTMLElement} control
 */
const field = (node, text, control) => ({
  node,
  text,
  written: () => undefined,
  focus: () => control.focus(),
});
