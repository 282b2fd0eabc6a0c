// Readings as a table for a spreadsheet: one row a reading, with its day and its value with its unit.

import { readCsv, writeCsv } from "./csv.js";
import { advise, enter } from "./engine.js";
import { word } from "./parts/words.js";
import { FORMAT } from "./tank.js";
import { labelOf, valuesOf } from "./vocabulary.js";

/** @typedef {import("./tank.js").Journal} Journal */
/** @typedef {{ row: number, column: string, message: string }} TableMistake */

/** The last day a journal can speak of, by its schema. */
export const LAST_DAY = "2200-12-31";
const READ = "read";
const HEADINGS = /** @type {const} */ (["day", "time", "reading", "value"]);

const titles = () => HEADINGS.map((heading) => word(`table ${heading}`));

/** @param {Journal} journal */
export function tableOf({ events }) {
  const rows = events
    .filter((entry) => entry.event === READ)
    .flatMap((entry) =>
      Object.entries(entry.values ?? {}).map(([fact, value]) => [
        entry.on,
        entry.at ?? "",
        labelOf(fact),
        String(value),
      ]),
    );
  return writeCsv([titles(), ...rows]);
}

/**
 * The readings of a table, as a journal of nothing else; or all that is wrong with it, row by row.
 * @param {string} text
 * @returns {{ journal: Journal, mistakes: TableMistake[], questions: TableMistake[] }}
 */
export function readTable(text) {
  const { rows, mistakes } = readCsv(text);
  const [head, ...body] = rows;
  const names = titles().map((title) => title.toLowerCase());
  const places = names.map((name) => head?.cells.findIndex((cell) => same(cell, name)) ?? -1);
  const told = mistakes.map((one) => ({
    row: one.row,
    column: head?.cells[one.column - 1] ?? String(one.column),
    message: word(one.message),
  }));
  // What stands behind an open quotation mark is anybody's guess.
  if (told.length > 0) return { journal: ofReadings([]), mistakes: told, questions: [] };
  const lacking = HEADINGS.filter((name, index) => places[index] < 0 && name !== "time");
  if (lacking.length > 0) {
    const columns = lacking.map((name) => `“${word(`table ${name}`)}”`).join(", ");
    told.push({ row: 1, column: "", message: word("table lacks", { columns }) });
    return { journal: ofReadings([]), mistakes: told, questions: [] };
  }
  const readings = body.map(({ row, cells }) => {
    const [on, at, reading, value] = places.map((place) => cells[place]?.trim() ?? "");
    return { row, on, at, fact: factNamed(reading), reading, value };
  });
  const found = readings.flatMap((one) => [...misread(one), ...asked(one, "mistake")]);
  const events = readings.map(({ on, at, fact, reading, value }) =>
    entry(on, at, fact ?? reading, value),
  );
  const engine = found.length > 0 ? [] : fromEngine(events, readings);
  return {
    journal: ofReadings(gathered(events)),
    mistakes: [...found, ...engine],
    questions: readings.flatMap((one) => asked(one, "question")),
  };
}

/** @typedef {{ row: number, on: string, at: string, fact?: string, reading: string, value: string }} Row */

/**
 * @param {string} cell
 * @param {string} name
 */
const same = (cell, name) => cell.trim().toLowerCase() === name;

/** @param {string} text */
const factNamed = (text) =>
  valuesOf(READ).find(({ name, label }) => [name, label.toLowerCase()].includes(text.toLowerCase()))
    ?.name;

/** @param {Row} row @returns {TableMistake[]} */
function misread({ row, on, fact, reading, value }) {
  const column = (/** @type {string} */ name) => word(`table ${name}`);
  return [
    !on && { row, column: column("day"), message: word("table no day") },
    !fact && { row, column: column("reading"), message: word("table unknown", { reading }) },
    fact && !value && { row, column: column("value"), message: word("table no value") },
  ].filter((one) => one !== false && one !== undefined && one !== "");
}

/**
 * What the engine has against a value, or must ask about it.
 * @param {Row} row
 * @param {"mistake" | "question"} which
 * @returns {TableMistake[]}
 */
function asked({ row, fact, value }, which) {
  const message = fact && value ? enter(fact, value)[which] : null;
  return message ? [{ row, column: word("table value"), message }] : [];
}

/**
 * @param {string} on
 * @param {string} at
 * @param {string} fact
 * @param {string} value
 */
const entry = (on, at, fact, value) => ({
  on,
  ...(at ? { at } : {}),
  event: READ,
  values: { [fact]: value },
});

/** @param {import("./tank.js").Entry[]} events @returns {Journal} */
const ofReadings = (events) => ({ format: FORMAT, tank: {}, events });

/**
 * What only the whole journal shows, such as a day that the calendar does not have.
 * @param {import("./tank.js").Entry[]} events
 * @param {Row[]} readings
 * @returns {TableMistake[]}
 */
function fromEngine(events, readings) {
  const { mistakes } = advise(ofReadings(events), LAST_DAY);
  return mistakes.map(({ place, message, hint }) => {
    const [, index, field] = /^events\[(\d+)\]\.?(\w*)/.exec(place) ?? [];
    const name = { on: "day", at: "time" }[field ?? ""] ?? "value";
    return {
      row: readings[Number(index ?? 0)]?.row ?? 1,
      column: word(`table ${name}`),
      message: [message, hint].filter(Boolean).join("; "),
    };
  });
}

/**
 * One entry for all readings of one day and time, as far as none is there twice.
 * @param {import("./tank.js").Entry[]} events
 */
function gathered(events) {
  /** @type {import("./tank.js").Entry[]} */
  const entries = [];
  for (const one of events) {
    const [fact] = Object.keys(one.values);
    const found = entries.find(
      ({ on, at, values }) => on === one.on && at === one.at && !Object.hasOwn(values, fact),
    );
    if (found) Object.assign(found.values, one.values);
    else entries.push({ ...one, values: { ...one.values } });
  }
  return entries;
}
