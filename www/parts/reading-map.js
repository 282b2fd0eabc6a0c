// What is said for each pair of two readings, drawn as a field of marks, with the place of the tank.
import { dataTable } from "./data-table.js";
import { asWritten } from "./locale.js";
import { mark } from "./mark.js";
import { copy, fill, freshId, made, piece } from "./template.js";
import { listed, word } from "./words.js";

/**
 * @typedef {object} Axis
 * @property {string} label
 * @property {string[]} values
 * @property {number} here the place of the tank among the values, or -1
 * @property {string} shown what the tank reads
 */

/** @param {Axis} axis @returns {Axis} */
const asRead = (axis) => ({ ...axis, values: axis.values.map(asWritten) });

/**
 * @param {string[][]} verdicts the rows from the lowest up
 * @param {Axis} asked
 * @param {Axis} askedUp
 * @param {string} of what it is a map of
 * @param {(verdict: string) => string} inWords
 */
export function readingMap(verdicts, asked, askedUp, of, inWords) {
  const [across, up] = [asked, askedUp].map(asRead);
  const node = copy("map");
  const columns = across.values.length;
  const found = [...new Set(verdicts.flat())];
  const shares = found.map((verdict) => {
    const count = verdicts.flat().filter((one) => one === verdict).length;
    return { verdict, count };
  });
  shares.sort((a, b) => b.count - a.count);
  const isHere = across.here >= 0 && up.here >= 0;
  const here = isHere ? inWords(verdicts[up.here][across.here]) : "";
  fill(node, {
    title: of,
    says: [
      isHere
        ? word("map here", {
            a: `${across.label} ${across.shown}`,
            b: `${up.label} ${up.shown}`,
            here,
          })
        : word("map nowhere"),
      word("map shares", {
        pairs: verdicts.flat().length,
        shares: listed(shares.map(({ verdict, count }) => `${inWords(verdict)} ${count}`)),
      }),
    ].join(" "),
    across: `${across.label} →`,
    up: `↑ ${up.label}`,
    low: across.values[0],
    half: across.values[columns >> 1],
    high: across.values[columns - 1],
    bottom: up.values[0],
    middle: up.values[up.values.length >> 1],
    top: up.values[up.values.length - 1],
  });
  const field = piece(node, "field");
  for (const name of ["title", "says"]) piece(node, name).id = freshId();
  field.setAttribute("aria-labelledby", piece(node, "title").id);
  field.setAttribute("aria-describedby", piece(node, "says").id);
  const rows = verdicts.map((row, index) =>
    rowOf(row, isHere && index === up.here ? across.here : -1),
  );
  field.append(...rows.reverse());
  piece(node, "legend").append(...shares.map(({ verdict }) => legendItem(verdict, inWords)));
  if (isHere) piece(node, "legend").append(hereItem());
  const head = [up.label, across.label];
  piece(node, "table").append(
    dataTable(of, head, () =>
      verdicts.map((row, at) => [up.values[at], runs(row, across, inWords)]),
    ),
  );
  return node;
}

/**
 * @param {string[]} row
 * @param {number} here
 */
function rowOf(row, here) {
  const line = made("div", "");
  line.className = "cells";
  line.append(
    ...row.map((verdict, index) => {
      const cell = made("span", "");
      cell.className = index === here ? "cell here" : "cell";
      if (verdict) cell.append(mark(verdict));
      return cell;
    }),
  );
  return line;
}

/**
 * @param {string} verdict
 * @param {(verdict: string) => string} inWords
 */
function legendItem(verdict, inWords) {
  const item = made("li", ` ${inWords(verdict)}`);
  const cell = made("span", "");
  cell.className = "cell";
  if (verdict) cell.append(mark(verdict));
  item.prepend(cell);
  return item;
}

function hereItem() {
  const item = made("li", ` ${word("map tank")}`);
  const cell = made("span", "");
  cell.className = "cell here";
  item.prepend(cell);
  return item;
}

/**
 * A row in words: from which value to which each verdict reaches.
 * @param {string[]} row
 * @param {Axis} axis
 * @param {(verdict: string) => string} inWords
 */
function runs(row, { values }, inWords) {
  const starts = row.flatMap((verdict, index) => (verdict === row[index - 1] ? [] : [index]));
  return starts
    .map((from, index) => {
      const to = (starts[index + 1] ?? row.length) - 1;
      const reach =
        from === to ? values[from] : word("range", { low: values[from], high: values[to] });
      return `${reach}: ${inWords(row[from])}`;
    })
    .join("; ");
}
