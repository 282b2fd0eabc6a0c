import { element, piece } from "./template.js";

/**
 * Shows nodes in a section's list, and the section only if there are any.
 * @param {string} id
 * @param {Node[]} nodes
 */
export function showList(id, nodes) {
  const section = element(id);
  piece(section, "list").replaceChildren(...nodes);
  section.hidden = nodes.length === 0;
}
