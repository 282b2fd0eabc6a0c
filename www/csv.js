// Comma-separated values by RFC 4180; a semicolon or a tab is taken too, where the first line uses it.

/** @typedef {{ row: number, column: number, message: string }} CsvMistake */

/**
 * Rows of cells, each row with the number a spreadsheet gives it.
 * @param {string} text
 * @returns {{ rows: { row: number, cells: string[] }[], mistakes: CsvMistake[] }}
 */
export function readCsv(text) {
  const whole = text.replace(/^\uFEFF/, "");
  const sign = separator(whole);
  /** @type {{ row: number, cells: string[] }[]} */
  const rows = [];
  /** @type {CsvMistake[]} */
  const mistakes = [];
  let cells = [""];
  let at = 0;
  const wrong = (/** @type {string} */ message) =>
    mistakes.push({ row: rows.length + 1, column: cells.length, message });
  const endRow = () => {
    rows.push({ row: rows.length + 1, cells });
    cells = [""];
  };
  const write = (/** @type {string} */ letters) => {
    cells[cells.length - 1] += letters;
  };
  while (at < whole.length) {
    const letter = whole[at];
    if (letter === '"' && cells.at(-1) === "") {
      const end = endOfQuoted(whole, at);
      if (end < 0) {
        wrong("csv open quote");
        break;
      }
      write(whole.slice(at + 1, end).replaceAll('""', '"'));
      at = end + 1;
      if (at < whole.length && ![sign, "\r", "\n"].includes(whole[at])) wrong("csv after quote");
    } else if (letter === sign) {
      cells.push("");
      at += 1;
    } else if (letter === "\n" || letter === "\r") {
      endRow();
      at += whole.startsWith("\r\n", at) ? 2 : 1;
    } else {
      write(letter);
      at += 1;
    }
  }
  if (cells.length > 1 || cells[0] !== "") endRow();
  return { rows: rows.filter((one) => one.cells.some((cell) => cell.trim())), mistakes };
}

/**
 * @param {string} text
 * @param {number} from
 */
function endOfQuoted(text, from) {
  let end = text.indexOf('"', from + 1);
  while (end >= 0 && text[end + 1] === '"') end = text.indexOf('"', end + 2);
  return end;
}

/** @param {string} text */
function separator(text) {
  const first = /^[^\r\n]*/.exec(text)?.[0] ?? "";
  return [",", ";", "\t"].find((sign) => first.includes(sign)) ?? ",";
}

/**
 * A text of rows, each ended as the standard asks. Where numbers are written with a comma, spreadsheets part cells by
 * a semicolon.
 * @param {string[][]} rows
 * @param {"," | ";"} sign
 */
export const writeCsv = (rows, sign) =>
  rows.map((cells) => `${cells.map(cell).join(sign)}\r\n`).join("");

/** @param {string} text */
const cell = (text) => (/[",;\r\n]/.exec(text) ? `"${text.replaceAll('"', '""')}"` : text);
