// Which kinds, how many of each, and how they were raised where that is asked.
import { sentence } from "./sentence.js";
import { choice, copy, fill, freshId, piece, tie } from "./template.js";
import { titled, word, wordOr } from "./words.js";

/** @typedef {import("../engine.js").FactInfo} FactInfo */

/**
 * @param {import("../engine.js").EventField} field
 * @param {FactInfo[]} facts the species, then perhaps how they were raised
 * @returns {import("./event-field.js").EventPart}
 */
export function rowsField(field, [species, origin]) {
  const node = copy("rows");
  const holder = piece(node, "rows");
  const says = copy("says");
  /** @type {ReturnType<typeof row>[]} */
  let rows = [];
  fill(node, { label: wordOr(`field ${field.name}`, titled(field.name)) });
  piece(says, "keep").remove();
  says.id = freshId();
  node.append(says);

  const say = (/** @type {string} */ message) => {
    piece(says, "text").replaceChildren(...(message ? sentence(message) : []));
    says.dataset.is = message ? "mistake" : "";
  };
  const add = (/** @type {any} */ value) => {
    const added = row(species, origin, field.holds === "animals", value, () => {
      rows = rows.filter((one) => one !== added);
      added.node.remove();
      if (rows.length === 0) add(undefined);
      rows[0].focus();
    });
    rows.push(added);
    holder.append(added.node);
    return added;
  };
  piece(node, "more").addEventListener("click", () => add(undefined).focus());
  add(undefined);

  return {
    name: field.name,
    node,
    value: () => rows.map((one) => one.value()),
    set: (values) => {
      rows = [];
      holder.replaceChildren();
      for (const value of [values ?? []].flat()) add(value);
      if (rows.length === 0) add(undefined);
    },
    isReady: () => {
      const wrong = rows.map((one) => one.wrong()).find(Boolean) ?? "";
      say(wrong);
      return !wrong;
    },
    say: (place, message) => {
      const isHere = place.startsWith(field.name);
      if (isHere) say(message);
      return isHere;
    },
    focus: () => (rows.find((one) => one.wrong()) ?? rows[0]).focus(),
    written: () => {},
  };
}

/**
 * @param {FactInfo} species
 * @param {FactInfo | undefined} origin
 * @param {boolean} isCounted whether the number must be there
 * @param {any} value
 * @param {() => void} left
 */
function row(species, origin, isCounted, value, left) {
  const node = copy("row");
  const kind = piece(node, "species");
  const raised = piece(node, "origin");
  const count = piece(node, "count");
  tie(piece(node, "species-label"), kind);
  tie(piece(node, "count-label"), count);
  tie(piece(node, "origin-label"), raised);
  kind.append(choice(word("choose"), ""), ...choices(species));
  raised.append(choice(word("not known"), ""), ...choices(origin));
  if (!origin) piece(node, "origin-field").remove();
  kind.value = value?.species ?? "";
  raised.value = value?.origin ?? "";
  count.value = value?.count ?? "";
  piece(node, "less").addEventListener("click", left);
  const isWhole = () => /^[1-9]\d*$/.exec(count.value.trim());
  return {
    node,
    focus: () => kind.focus(),
    wrong: () => {
      if (!kind.value) return word("which kind");
      const isMissing = !count.value.trim() && !isCounted;
      return isMissing || isWhole() ? "" : word("whole number");
    },
    value: () => ({
      species: kind.value,
      ...(origin && raised.value ? { origin: raised.value } : {}),
      ...(count.value.trim() ? { count: Number(count.value) } : {}),
    }),
  };
}

/** @param {FactInfo | undefined} fact */
const choices = (fact) => (fact?.options ?? []).map(({ name, label }) => choice(label, name));
