// A rule book of one's own, as changes of the built-in one: written here, read and proved in a worker as one types.
import { bookFiles, bookWords } from "../engine.js";
import { wasmOf, workerOf } from "../files.js";
import { differenceBlock, differenceInWords } from "../parts/difference.js";
import { saveFile } from "../parts/file.js";
import { sentence } from "../parts/sentence.js";
import { copy, element, fill, made, piece } from "../parts/template.js";
import { counted, word } from "../parts/words.js";
import { keep, kept } from "../settings.js";
import { labelOf, optionOf, theRules } from "../vocabulary.js";

/** @typedef {import("../engine.js").ProofResult} Proof */
/** @typedef {Proof["mistakes"][number]} Diagnostic */
/** @typedef {Proof["findings"][number]} Finding */

const NAME = "overlay";
const FILE = "overlay.rules";
/** So long after the last key the text is read, and proved. */
const READ_AFTER = 150;
const PROVE_AFTER = 900;

/** @type {Worker | undefined} */
let worker;
/** @type {import("../page.js").State} */
let state;
let turn = 0;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let reading;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let proving;
let asked = "";

const text = () => element("overlay-text");
const overlays = () => [{ name: FILE, text: text().value }];

export function create() {
  text().value = kept(NAME) ?? "";
  text().addEventListener("input", () => {
    keep(NAME, text().value);
    ask();
  });
  element("overlay-save").addEventListener("click", () =>
    saveFile(fileName(), text().value, "text/plain"),
  );
  const file = element("overlay-file");
  element("overlay-open").addEventListener("click", () => file.click());
  file.addEventListener("change", async () => {
    if (file.files[0]) put(await file.files[0].text().catch(() => ""));
    file.value = "";
  });
  element("overlay-begin").addEventListener("click", () => put(sample()));
  element("overlay-undo").addEventListener("click", () => put(before));
}

/** What the text was before something was put in its place. */
let before = "";

/** @param {string} other */
function put(other) {
  before = text().value;
  element("overlay-undo").hidden = before.trim() === "" || before === other;
  text().value = other;
  keep(NAME, other);
  ask();
}

const sample = () =>
  /** @type {HTMLTemplateElement} */ (element("t-overlay")).content.textContent?.trimStart() ?? "";

function fileName() {
  const name = /^overlay\s+([a-z0-9-]+)/m.exec(text().value)?.[1];
  return name ? `${name}.rules` : FILE;
}

/** @param {import("../page.js").State} now */
export function show(now) {
  state = now;
  worker ??= hired();
  // The same text and tank have been answered already.
  const question = JSON.stringify([text().value, state.journal, state.on]);
  if (question !== asked) ask();
}

/**
 * Puts a rule of the book into the text, to be changed there.
 * @param {string} item
 */
export function open(item) {
  if (!item || !theRules().some(({ rule }) => rule === item)) return undefined;
  const heading = new RegExp(`^(replace|rule|withdraw) +${item} *$`, "m");
  if (!heading.exec(text().value)) {
    const own = text().value.trimEnd() || sample().split("\n\n")[0];
    put(`${own}\n\n${replacement(item)}`);
  }
  const place = text().value.search(heading);
  text().focus();
  if (place >= 0) select(place, place);
  return text();
}

/**
 * A rule as it stands in the book, as a change of it.
 * @param {string} rule
 */
function replacement(rule) {
  const heading = `\nrule ${rule}\n`;
  const texts = bookFiles().map((file) => `\n${file.text}`);
  const [, after = ""] = (texts.find((one) => one.includes(heading)) ?? "").split(heading);
  const end = after.search(/^\S/m);
  const body = (end < 0 ? after : after.slice(0, end)).trimEnd();
  return `replace ${rule}\n  reason    ${word("overlay reason")}\n${body}\n`;
}

function hired() {
  try {
    const one = workerOf("proof-worker.js");
    const source = wasmOf("pkg/lentic_bg.wasm");
    const from = source instanceof URL ? source.href : source;
    one.postMessage({ source: from, words: bookWords() });
    one.addEventListener("message", ({ data }) => hear(data));
    one.addEventListener("error", fail);
    return one;
  } catch {
    fail();
    return undefined;
  }
}

function fail() {
  element("overlay-failed").hidden = false;
  say("");
}

function ask() {
  if (!state) return;
  asked = JSON.stringify([text().value, state.journal, state.on]);
  turn += 1;
  clearTimeout(reading);
  clearTimeout(proving);
  element("findings").hidden = true;
  const isEmpty = text().value.trim() === "";
  element("overlay-save").disabled = isEmpty;
  if (isEmpty) {
    clear();
    return say("");
  }
  reading = setTimeout(() => send("read"), READ_AFTER);
}

function clear() {
  for (const id of ["overlay-mistakes", "overlay-effect"]) element(id).hidden = true;
}

/** @param {"read" | "prove"} what */
function send(what) {
  const { journal, on } = state;
  worker?.postMessage({ turn, what, overlays: overlays(), journal, on });
  if (what === "read") say(word("overlay reading"));
}

/** @param {{ turn: number, what: string, answer: any, error?: string }} heard */
function hear(heard) {
  if (heard.turn !== turn) return;
  if (heard.error) return fail();
  element("overlay-failed").hidden = true;
  if (heard.what === "prove") return showProof(heard.answer);
  const { found, difference, own } = heard.answer;
  showMistakes([...found.mistakes, ...found.failed_cases]);
  const isGood = found.mistakes.length === 0 && difference;
  element("overlay-effect").hidden = !isGood;
  if (!isGood) return say(counted("overlay mistakes", found.mistakes.length));
  const isBuiltIn = (/** @type {string} */ rule) =>
    theRules().some((one) => one.rule === rule) &&
    !own.some((/** @type {{ rule: string }} */ one) => one.rule === rule);
  piece(element("overlay-effect"), "says").textContent = differenceInWords(difference);
  piece(element("overlay-effect"), "difference").replaceChildren(
    differenceBlock(difference, isBuiltIn),
  );
  const cases = counted("overlay cases", found.cases);
  const failed = found.failed_cases.length;
  say(failed > 0 ? counted("overlay failed", failed) : `${word("overlay read")} ${cases}`);
  proving = setTimeout(() => send("prove"), PROVE_AFTER);
}

/** @param {Diagnostic[]} all */
function showMistakes(all) {
  const section = element("overlay-mistakes");
  piece(section, "list").replaceChildren(...all.map(diagnosticItem));
  section.hidden = all.length === 0;
}

/** @param {Diagnostic} diagnostic */
function diagnosticItem({ file, line, column, length, message, help, text: shown }) {
  const item = copy("diagnostic");
  const isOwn = file === FILE;
  const place = word(isOwn ? "overlay line" : "overlay elsewhere", { line, file });
  piece(item, "message").append(...sentence([message, help].filter(Boolean).join("; ")));
  piece(item, "place").textContent = place;
  if (isOwn) {
    piece(item, "quoted").remove();
    piece(item, "place").addEventListener("click", () => {
      const at = offset(line, column);
      text().focus();
      select(at, at + length);
    });
  } else {
    piece(item, "place").replaceWith(made("span", place));
    piece(item, "quoted").textContent = shown.trim();
  }
  return item;
}

/**
 * Where a place is within the text.
 * @param {number} line
 * @param {number} column
 */
function offset(line, column) {
  const lines = text()
    .value.split("\n")
    .slice(0, line - 1);
  return lines.join("\n").length + (line > 1 ? 1 : 0) + column - 1;
}

/**
 * @param {number} from
 * @param {number} to
 */
function select(from, to) {
  const area = text();
  area.setSelectionRange(from, to);
  const line = area.value.slice(0, from).split("\n").length - 1;
  const height = Number.parseFloat(getComputedStyle(area).lineHeight);
  area.scrollTop = Math.max(0, (line - 3) * height);
}

/** @param {Proof} proof */
function showProof({ findings, gaps }) {
  const isOwn = (/** @type {Diagnostic} */ { file }) => file === FILE;
  const told = findings.filter(({ place, severity }) => isOwn(place) || severity !== "warning");
  const own = gaps.filter(isOwn);
  const section = element("findings");
  piece(section, "list").replaceChildren(...told.map(findingItem), ...own.map(diagnosticItem));
  const count = told.length + own.length;
  piece(section, "says").textContent = count === 0 ? word("proof none") : counted("proof", count);
  section.hidden = false;
}

/** @param {Finding} finding */
function findingItem({ place, severity, witness }) {
  const item = diagnosticItem(place);
  const node = copy("witness");
  fill(node, { severity: word(`severity ${severity}`) });
  const facts = (witness?.facts ?? []).map(([name, value]) =>
    made("li", `${labelOf(name)}: ${optionOf(name, value)}`),
  );
  const cases = (witness?.cases ?? []).map(({ block, line }) => made("li", `${block}: ${line}`));
  piece(node, "facts").append(...facts);
  piece(node, "cases").append(...cases);
  piece(node, "shown").hidden = facts.length === 0;
  piece(node, "pasted").hidden = cases.length === 0;
  item.append(node);
  return item;
}

/** @param {string} says */
function say(says) {
  const status = element("overlay-says");
  if (status.textContent !== says) status.textContent = says;
}
