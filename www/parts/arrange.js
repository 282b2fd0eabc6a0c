// Fields that stand open, and others that are folded away.
import { piece } from "./template.js";

/** @typedef {import("./field.js").Field} Field */

/** So many fields of a form stand open at first; the vocabulary begins with those used most. */
const SEEN_AT_FIRST = 5;

/**
 * Puts the first fields of a form, and those that matter now, into a holder, and the others behind a fold.
 * @param {HTMLElement} holder
 * @param {HTMLElement} fold
 * @param {HTMLElement} folded where the others go
 * @param {Field[]} fields
 * @param {(field: Field) => boolean} matters
 */
export function part(holder, fold, folded, fields, matters) {
  const isSeen = (/** @type {Field} */ field, /** @type {number} */ index) =>
    index < SEEN_AT_FIRST || matters(field);
  const others = fields.filter((field, index) => !isSeen(field, index));
  arrange(holder, fields.filter(isSeen));
  arrange(folded, others);
  fold.hidden = others.length === 0;
}

/**
 * The same for the questions of a group.
 * @param {HTMLElement} group
 * @param {Field[]} fields
 * @param {(field: Field) => boolean} matters
 */
export const partGroup = (group, fields, matters) =>
  part(piece(group, "fields"), piece(group, "more"), piece(group, "others"), fields, matters);

/**
 * Moves fields only if they stand elsewhere, so that a field in use keeps the focus.
 * @param {HTMLElement} holder
 * @param {Field[]} wanted
 */
function arrange(holder, wanted) {
  const nodes = wanted.map((field) => field.node);
  const isSo =
    nodes.length === holder.children.length &&
    nodes.every((node, i) => holder.children[i] === node);
  if (!isSo) holder.replaceChildren(...nodes);
}
