// A table of figures behind a picture, written when it is opened.
import { copy, fill, made, piece } from "./template.js";

/**
 * @param {string} about what it is a table of
 * @param {string[]} head
 * @param {() => string[][]} rows each with its heading first
 */
export function dataTable(about, head, rows) {
  const node = copy("data-table");
  fill(node, { about: `: ${about}` });
  piece(node, "caption").textContent = about;
  piece(node, "head").append(...head.map((text) => heading(text, "col")));
  node.addEventListener("toggle", () => piece(node, "rows").append(...rows().map(rowOf)), {
    once: true,
  });
  return node;
}

/** @param {string[]} cells */
export function rowOf([first, ...others]) {
  const row = document.createElement("tr");
  row.append(heading(first, "row"), ...others.map((text) => made("td", text)));
  return row;
}

/**
 * @param {string} text
 * @param {string} scope
 */
export function heading(text, scope) {
  const cell = made("th", text);
  cell.setAttribute("scope", scope);
  return cell;
}
