// Amounts: any function of the book, worked out for what is typed.
import { reckon } from "../engine.js";
import { numberField } from "../parts/number-field.js";
import { resultBlock } from "../parts/result.js";
import { sentence } from "../parts/sentence.js";
import { choice, copy, element } from "../parts/template.js";
import { capital, titled, word } from "../parts/words.js";
import { link } from "../route.js";
import { theBook } from "../vocabulary.js";

/** @type {ReturnType<typeof numberField>[]} */
let fields = [];
let shown = "";

const select = () => element("amount-name");
const chosen = () => theBook().functions.find(({ name }) => name === shown);

export function create() {
  const functions = [...theBook().functions].sort((a, b) => a.label.localeCompare(b.label));
  select().append(...functions.map(({ name, label }) => choice(capital(label), name)));
  select().addEventListener("change", () => {
    location.hash = link("amounts", select().value);
  });
  element("amounts").addEventListener("submit", (/** @type {Event} */ event) => {
    event.preventDefault();
    workOut();
  });
}

/**
 * @param {import("../page.js").State} _
 * @param {string} item the function to be shown
 */
export function show(_, item) {
  const isThere = theBook().functions.some(({ name }) => name === item);
  const name = isThere ? item : shown || select().value;
  if (name === shown) return;
  shown = name;
  select().value = name;
  const found = chosen();
  if (!found) return;
  element("amount-formula").textContent = found.formula;
  fields = found.arguments.map((argument) => numberField(asFact(argument), titled(argument.name)));
  element("amount-fields").replaceChildren(...fields.map((field) => field.node));
  element("amount-result").replaceChildren();
}

export const open = () => undefined;

/** @param {import("../engine.js").FunctionInfo["arguments"][number]} argument */
function asFact({ name, units, low, high }) {
  const unit = units[0] ? ` ${units[0]}` : "";
  const ends = { low, high: `${high}${unit}` };
  const how = Number.isFinite(low) && Number.isFinite(high) ? word("within", ends) : "";
  return { name: `${shown} ${name}`, units, how, bare: units.length === 0 };
}

function workOut() {
  const names = chosen()?.arguments.map(({ name }) => name) ?? [];
  const pairs = names.map((name, index) => [name, fields[index].text()]);
  const { reckoned, mistakes } = reckon(
    shown,
    Object.fromEntries(pairs.filter(([, text]) => text)),
  );
  for (const field of fields) if (field.text()) field.written();
  const result = element("amount-result");
  if (reckoned) return result.replaceChildren(resultBlock(reckoned));
  const list = copy("result-mistakes");
  for (const mistake of mistakes) {
    const line = document.createElement("li");
    line.append(...sentence(mistake));
    list.append(line);
  }
  result.replaceChildren(list);
  fields.find((field) => !field.text())?.focus();
}
