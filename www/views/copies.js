// Copies of the journal: saved to a file, opened from one, forgotten here.
import { advise } from "../engine.js";
import { present } from "../parts/day.js";
import { asked } from "../parts/dialog.js";
import { saveFile } from "../parts/file.js";
import { sentence } from "../parts/sentence.js";
import { element, made, piece } from "../parts/template.js";
import { offerUndo } from "../parts/undo.js";
import { counted, word } from "../parts/words.js";
import { change, forgetOwn, look, openOwn, tank } from "../tank.js";

/** The last day a journal can speak of, by its schema. */
const LAST_DAY = "2200-12-31";

/** @typedef {import("../tank.js").Journal} Journal */
/** @typedef {import("../engine.js").JournalMistake} JournalMistake */

/** @param {{ showExample: () => void }} ways */
export function create({ showExample }) {
  const file = element("import-file");
  element("export").addEventListener("click", () => save(tank.journal));
  element("import").addEventListener("click", () => file.click());
  file.addEventListener("change", async () => {
    if (file.files[0]) await openCopy(file.files[0]);
    file.value = "";
  });
  element("see-example").addEventListener("click", showExample);
  element("forget").addEventListener("click", async () => {
    const answer = await asked("forgetting", { yours: entries(tank.journal) });
    if (answer === "both") save(tank.journal);
    if (answer !== "both" && answer !== "replace") return;
    forgetOwn();
    showExample();
  });
}

/** @param {Journal} journal */
const save = (journal) =>
  saveFile(`lentic-${present()}.json`, `${JSON.stringify(journal, null, 2)}\n`);

/** @param {Journal} journal */
const entries = (journal) => counted("entries", journal.events.length);

/** @param {File} file */
async function openCopy(file) {
  const text = await file.text().catch(() => undefined);
  const mistakes =
    text === undefined
      ? [{ place: "", message: word("unreadable file"), hint: null }]
      : wrong(text);
  tell(file.name, mistakes);
  if (text === undefined || mistakes.length > 0) return;
  /** @type {Journal} */
  const journal = JSON.parse(text);
  if (tank.isExample) openOwn();
  const isEmpty =
    tank.isExample ||
    (tank.journal.events.length === 0 && Object.keys(tank.journal.tank).length === 0);
  const yours = entries(tank.journal);
  const answer = isEmpty ? "replace" : await asked("replace", { theirs: entries(journal), yours });
  if (answer === "both") save(tank.journal);
  if (answer !== "both" && answer !== "replace") return;
  if (tank.isExample) look(journal, false);
  change(journal);
  if (!isEmpty) offerUndo(word("replaced"));
}

/**
 * All that is wrong with a copy, whatever day its entries are dated.
 * @param {string} text
 */
const wrong = (text) => advise(text, LAST_DAY).mistakes;

/**
 * @param {string} file
 * @param {JournalMistake[]} mistakes
 */
function tell(file, mistakes) {
  const section = element("import-mistakes");
  const lines = mistakes.map(({ place, message, hint }) => {
    const line = document.createElement("li");
    const text = [message, hint].filter(Boolean).join("; ");
    if (place) line.append(made("code", place), ": ");
    line.append(...sentence(text));
    return line;
  });
  piece(section, "file").textContent = file;
  piece(section, "list").replaceChildren(...lines);
  section.hidden = mistakes.length === 0;
}
