import { copy } from "./template.js";

/**
 * The shape that goes with a word for urgency or a verdict.
 * @param {string} name
 */
export function mark(name) {
  const shape = copy("mark");
  shape.dataset.is = name;
  return shape;
}
