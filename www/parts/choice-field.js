// One of several options, or not known.
import { choice, copy, fill, freshId, piece, tie } from "./template.js";
import { word } from "./words.js";

/** So many options stand side by side; more go into a list to choose from. */
const SEEN_AT_ONCE = 5;

/**
 * @param {{ how: string, options: { name: string, label: string }[] }} fact
 * @param {string} label
 */
export const choiceField = (fact, label) =>
  fact.options.length > SEEN_AT_ONCE ? selectField(fact, label) : radioField(fact, label, false);

/**
 * @param {{ how: string }} fact
 * @param {string} label
 */
export const truthField = (fact, label) =>
  radioField(
    { ...fact, options: ["yes", "no"].map((name) => ({ name, label: word(name) })) },
    label,
    true,
  );

/**
 * @param {{ how: string, options: { name: string, label: string }[] }} fact
 * @param {string} label
 * @param {boolean} isShort whether the options stand in one line
 */
function radioField(fact, label, isShort) {
  const node = copy("choice");
  const group = freshId();
  fill(node, { label, how: fact.how });
  node.classList.toggle("short", isShort);
  const radios = [...fact.options, { name: "", label: word("not known") }].map((option) => {
    const line = copy("radio");
    const radio = piece(line, "input");
    radio.name = group;
    radio.value = option.name;
    fill(line, { label: option.label });
    piece(node, "options").append(line);
    return radio;
  });
  const set = (/** @type {string} */ text) => {
    const value = radios.some(({ value }) => value === text) ? text : "";
    for (const radio of radios) radio.checked = radio.value === value;
  };
  set("");
  return {
    node,
    set,
    text: () => radios.find((radio) => radio.checked)?.value ?? "",
    focus: () => (radios.find((radio) => radio.checked) ?? radios[0]).focus(),
  };
}

/**
 * @param {{ how: string, options: { name: string, label: string }[] }} fact
 * @param {string} label
 */
function selectField(fact, label) {
  const node = copy("select");
  const select = piece(node, "input");
  tie(piece(node, "label"), select);
  fill(node, { label, how: fact.how });
  select.append(choice(word("not known"), ""));
  select.append(...fact.options.map((option) => choice(option.label, option.name)));
  const set = (/** @type {string} */ text) => {
    select.value = text;
    if (select.selectedIndex < 0) select.value = "";
  };
  return { node, set, text: () => select.value, focus: () => select.focus() };
}
