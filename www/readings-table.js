// Readings as a table for a spreadsheet: one row a reading, with its day and its value with its unit.

import { readCsv, writeCsv } from "./csv.js";
import { elsewhere } from "./elsewhere.js";
import { advise, enter } from "./engine.js";
import { asEntered, asWritten, hasComma } from "./parts/locale.js";
import { word } from "./parts/words.js";
import { FORMAT } from "./tank.js";
import { labelOf, valuesOf } from "./vocabulary.js";

/** @typedef {import("./tank.js").Journal} Journal */
/** @typedef {{ row: number, column: string, message: string }} TableMistake */

/** The last day a journal can speak of, by its schema. */
export const LAST_DAY = "2200-12-31";
const READ = "read";
const HEADINGS = /** @type {const} */ (["day", "time", "reading", "value"]);

/** What a language calls the columns and the readings, and how it writes numbers. @typedef {import("./elsewhere.js").Tongue} Tongue */

/** @param {Tongue["word"]} say */
const titlesIn = (say) => HEADINGS.map((heading) => say(`table ${heading}`));

/** @returns {Tongue} */
const here = () => ({ word, labelOf, hasComma: hasComma() });

/** @param {Journal} journal */
export function tableOf({ events }) {
  const rows = events
    .filter((entry) => entry.event === READ)
    .flatMap((entry) =>
      Object.entries(entry.values ?? {}).map(([fact, value]) => [
        entry.on,
        entry.at ?? "",
        labelOf(fact),
        asWritten(String(value)),
      ]),
    );
  return writeCsv([titlesIn(word), ...rows], hasComma() ? ";" : ",");
}

/**
 * Where the columns stand in the first row of a table, as a language calls them; -1 for one that is lacking.
 * @param {string[]} head
 * @param {Tongue} tongue
 */
const placesIn = (head, tongue) =>
  titlesIn(tongue.word).map((title) => head.findIndex((cell) => same(cell, title)));

/**
 * The headings that are needed and lacking.
 * @param {number[]} places
 */
const lackingOf = (places) =>
  HEADINGS.filter((name, index) => places[index] < 0 && name !== "time");

/**
 * The language whose headings a table has; that of the page where no other fits.
 * @param {string[]} head
 */
async function tongueOf(head) {
  const fits = (/** @type {Tongue} */ tongue) => lackingOf(placesIn(head, tongue)).length === 0;
  if (fits(here())) return here();
  return (await elsewhere()).find(fits) ?? here();
}

/**
 * The readings of a table, as a journal of nothing else; or all that is wrong with it, row by row.
 * @param {string} text
 * @returns {Promise<{ journal: Journal, mistakes: TableMistake[], questions: TableMistake[] }>}
 */
export async function readTable(text) {
  const { rows, mistakes } = readCsv(text);
  const [head, ...body] = rows;
  const tongue = await tongueOf(head?.cells ?? []);
  const places = placesIn(head?.cells ?? [], tongue);
  const told = mistakes.map((one) => ({
    row: one.row,
    column: head?.cells[one.column - 1] ?? String(one.column),
    message: word(one.message),
  }));
  // What stands behind an open quotation mark is anybody's guess.
  if (told.length > 0) return { journal: ofReadings([]), mistakes: told, questions: [] };
  const lacking = lackingOf(places);
  if (lacking.length > 0) {
    const columns = lacking.map((name) => `“${word(`table ${name}`)}”`).join(", ");
    told.push({ row: 1, column: "", message: word("table lacks", { columns }) });
    return { journal: ofReadings([]), mistakes: told, questions: [] };
  }
  const readings = body.map(({ row, cells }) => {
    const [on, at, reading, written] = places.map((place) => cells[place]?.trim() ?? "");
    const value = tongue.hasComma ? asEntered(written, true) : written;
    return { row, on, at, fact: factNamed(reading, tongue), reading, value };
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
const same = (cell, name) => cell.trim().toLowerCase() === name.toLowerCase();

/**
 * @param {string} text
 * @param {Tongue} tongue
 */
const factNamed = (text, { labelOf }) =>
  valuesOf(READ).find(({ name }) => same(text, name) || same(text, labelOf(name)))?.name;

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
