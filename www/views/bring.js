// Bringing something in from a file: what it holds and what would change is shown first, and nothing is lost by it.
import { advise, verify } from "../engine.js";
import { compared, withNew } from "../merge.js";
import { dayInWords } from "../parts/day.js";
import { entryInWords } from "../parts/entry.js";
import { sentence } from "../parts/sentence.js";
import { copy, element, fill, freshId, made, piece, place } from "../parts/template.js";
import { offerUndo } from "../parts/undo.js";
import { counted, listed, word } from "../parts/words.js";
import { LAST_DAY, readTable } from "../readings-table.js";
import { begin, change, goBack, keepBeside, tank } from "../tank.js";
import { SET_FORMAT } from "./copies.js";
import { entries, nameOf } from "./tanks.js";

/** @typedef {import("../tank.js").Journal} Journal */
/** @typedef {{ place: string, message: string }} Mistake */
/** @typedef {"beside" | "add" | "replace" | "leave"} Way */

const RECORD_FORMAT = "lentic-record/1";
/** No journal that was written by hand is longer than this. */
const LARGEST = 8_000_000;
/** So many lines of a list are shown; the rest is counted. */
const SHOWN = 40;

/** @type {{ journal: Journal, way: () => Way }[]} */
let offered = [];
let opened = () => {};

/** @param {{ opened: () => void }} ways */
export function create(ways) {
  opened = ways.opened;
  const file = element("import-file");
  element("import").addEventListener("click", () => file.click());
  file.addEventListener("change", async () => {
    if (file.files[0]) await read(file.files[0]);
    file.value = "";
  });
  element("bring").addEventListener("submit", (/** @type {Event} */ event) => {
    event.preventDefault();
    bringIn();
  });
  element("bring-leave").addEventListener("click", () => {
    close();
    element("import").focus();
  });
}

function close() {
  offered = [];
  for (const id of ["import-mistakes", "bring", "verified"]) element(id).hidden = true;
}

/** @param {File} file */
async function read(file) {
  close();
  if (file.size > LARGEST) return refuse(file.name, [{ place: "", message: word("too large") }]);
  const text = await file.text().catch(() => undefined);
  if (text === undefined) {
    return refuse(file.name, [{ place: "", message: word("unreadable file") }]);
  }
  const isTable = !/^\s*[[{]/.exec(text) && /\.(csv|tsv|txt)$/i.exec(file.name);
  if (isTable) return readReadings(file.name, text);
  const whole = parsed(text);
  if (whole?.format === RECORD_FORMAT) return readRecord(file.name, text);
  const isSet = typeof whole?.format === "string" && whole.format.startsWith("lentic-set/");
  if (isSet) return readSet(file.name, whole);
  const mistakes = wrong(text);
  if (mistakes.length > 0) return refuse(file.name, mistakes);
  offer(file.name, [whole], "beside");
}

/** @param {string} text */
function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/**
 * All that is wrong with a journal, whatever day its entries are dated.
 * @param {import("../engine.js").Held} journal
 * @returns {Mistake[]}
 */
export const wrong = (journal) =>
  advise(journal, LAST_DAY).mistakes.map(({ place, message, hint }) => ({
    place,
    message: [message, hint].filter(Boolean).join("; "),
  }));

/**
 * @param {string} file
 * @param {any} set
 */
function readSet(file, set) {
  if (set.format !== SET_FORMAT) {
    return refuse(file, [{ place: "format", message: word("newer set", { format: set.format }) }]);
  }
  if (!Array.isArray(set.tanks) || set.tanks.length === 0) {
    return refuse(file, [{ place: "tanks", message: word("empty set") }]);
  }
  const mistakes = set.tanks.flatMap((/** @type {any} */ journal, /** @type {number} */ index) =>
    wrong(JSON.stringify(journal)).map(({ place, message }) => ({
      place: [`tanks[${index}]`, place].filter(Boolean).join("."),
      message,
    })),
  );
  if (mistakes.length > 0) return refuse(file, mistakes);
  offer(file, set.tanks, "beside");
}

/**
 * @param {string} file
 * @param {string} text
 */
async function readReadings(file, text) {
  const { journal, mistakes, questions } = await readTable(text);
  const at = (/** @type {{ row: number, column: string, message: string }} */ one) => ({
    place: word(one.column ? "table place" : "table row", { row: one.row, column: one.column }),
    message: one.message,
  });
  if (mistakes.length > 0) return refuse(file, mistakes.map(at));
  if (journal.events.length === 0) {
    return refuse(file, [{ place: "", message: word("empty table") }]);
  }
  offer(file, [journal], tank.kind === "own" ? "add" : "beside", questions.map(at), true);
}

/**
 * @param {string} file
 * @param {string} text
 */
function readRecord(file, text) {
  const { verified, mistakes } = verify(text);
  if (!verified) {
    const told = mistakes.map(({ place, message, hint }) => ({
      place,
      message: [message, hint].filter(Boolean).join("; "),
    }));
    return refuse(file, told);
  }
  const section = element("verified");
  const book = verified.same_book ? "verified book" : "verified other book";
  piece(section, "file").textContent = file;
  piece(section, "says").textContent = [
    word(verified.same ? "verified same" : "verified differs"),
    word(book),
  ].join(" ");
  const lines = verified.differs.slice(0, SHOWN).map(({ place, recorded, now }) => {
    const line = made("li", "");
    line.append(
      made("code", place),
      word("verified field", { recorded: shortly(recorded), now: shortly(now) }),
    );
    return line;
  });
  piece(section, "list").replaceChildren(...lines, ...rest(verified.differs.length));
  section.hidden = false;
  section.querySelector("h3")?.focus();
}

/** @param {string} text */
const shortly = (text) => (text.length > 120 ? `${text.slice(0, 120)}…` : text || word("nothing"));

/**
 * Names everything that is wrong with a file. Nothing is changed.
 * @param {string} file
 * @param {Mistake[]} mistakes
 */
function refuse(file, mistakes) {
  const section = element("import-mistakes");
  piece(section, "file").textContent = file;
  piece(section, "list").replaceChildren(...mistakes.map(mistakeItem));
  section.hidden = false;
}

/** @param {Mistake} mistake */
function mistakeItem({ place, message }) {
  const line = made("li", "");
  if (place) line.append(made("code", place), ": ");
  line.append(...sentence(message));
  return line;
}

/**
 * Shows what a file holds and asks what to do with it.
 * @param {string} file
 * @param {Journal[]} journals
 * @param {Way} usual
 * @param {Mistake[]} [questions]
 * @param {boolean} [isTable]
 */
function offer(file, journals, usual, questions = [], isTable = false) {
  const form = element("bring");
  piece(form, "file").textContent = file;
  const items = journals.map((journal) => offerItem(journal, usual, isTable));
  piece(form, "tanks").replaceChildren(...items.map(({ node }) => node));
  piece(form, "questions").replaceChildren(...questions.map(mistakeItem));
  piece(form, "asked").hidden = questions.length === 0;
  offered = items.map(({ way }, index) => ({ journal: journals[index], way }));
  form.hidden = false;
  element("title-bring").focus();
}

/**
 * @param {Journal} journal
 * @param {Way} usual
 * @param {boolean} isTable
 */
function offerItem(journal, usual, isTable) {
  const node = copy("offer");
  const days = journal.events.map(({ on }) => on).sort();
  const span = { first: dayInWords(days[0]), last: dayInWords(days.at(-1) ?? "") };
  fill(node, {
    name: isTable ? word("readings") : nameOf(journal),
    holds: `${entries(journal)}${days.length > 0 ? word("span", span) : ""}`,
  });
  const own = tank.journal;
  const isOwn = tank.kind === "own" && tank.id !== "";
  const found = compared(own, journal);
  const name = nameOf(own);
  const isSame = found.added.length === 0 && Object.keys(found.answers).length === 0;
  /** @type {[Way, string, string][]} */
  const all = [
    ["beside", word("way beside"), ""],
    ["add", word("way add", { name }), isSame ? word("nothing new") : inWords(found)],
    ["replace", word("way replace", { name }), word("way replace says", { yours: entries(own) })],
    ["leave", word("way leave"), ""],
  ];
  const group = freshId();
  for (const [value, label, says] of all) {
    if (!isOwn && (value === "add" || value === "replace")) continue;
    if (isTable && value === "replace") continue;
    const option = copy("way");
    const input = piece(option, "input");
    input.name = group;
    input.value = value;
    input.checked = value === usual;
    fill(option, { label, says });
    piece(node, "ways").append(option);
  }
  const lines = (isOwn ? found.added : journal.events).map((entry) =>
    made("li", entryInWords(entry)),
  );
  place(node, "list", [...lines.slice(0, SHOWN), ...rest(lines.length)], "new");
  if (lines.length > 0) fill(node, { count: counted(isOwn ? "new" : "entries", lines.length) });
  const way = () =>
    /** @type {Way} */ (/** @type {any} */ (node.querySelector("input:checked"))?.value ?? "leave");
  return { node, way };
}

/** @param {number} count */
const rest = (count) => (count > SHOWN ? [made("li", counted("more", count - SHOWN))] : []);

/** @param {ReturnType<typeof compared>} found */
function inWords({ added, same, again, answers }) {
  const count = Object.keys(answers).length;
  const parts = [
    added.length > 0 && counted("new", added.length),
    count > 0 && counted("new answers", count),
    same > 0 && counted("known", same),
    again > 0 && counted("again", again),
  ].filter((part) => typeof part === "string");
  return `${listed(parts)}.`;
}

function bringIn() {
  const chosen = offered.map(({ journal, way }) => ({ journal, way: way() }));
  const old = tank.journal;
  const beside = chosen.filter(({ way }) => way === "beside").map(({ journal }) => journal);
  for (const { journal, way } of chosen) {
    if (way === "add") change(withNew(journal));
    if (way === "replace") {
      keepBeside({ ...old, name: word("before", { name: nameOf(old) }) });
      change(() => journal);
    }
  }
  const isChanged = chosen.some(({ way }) => way === "add" || way === "replace");
  // The last one begun is the one that is looked at, unless the open tank was changed.
  for (const journal of beside) {
    if (isChanged) keepBeside(journal);
    else begin(journal);
  }
  close();
  if (tank.kind === "example" && beside.length === 0) goBack();
  if (isChanged || beside.length > 0) {
    opened();
    offerUndoOf(isChanged);
  }
}

/** @param {boolean} isChanged */
function offerUndoOf(isChanged) {
  if (isChanged) offerUndo(word("brought in"));
}
