// Copies that leave the browser: a tank, all tanks, a table of readings, a record of the answer, a case as a link.
import { written } from "../case.js";
import { record } from "../engine.js";
import { present } from "../parts/day.js";
import { saveFile } from "../parts/file.js";
import { element } from "../parts/template.js";
import { word } from "../parts/words.js";
import { tableOf } from "../readings-table.js";
import { isKnown, tank } from "../tank.js";
import { fileName, saveTank } from "./tanks.js";

export const SET_FORMAT = "lentic-set/1";

/** @type {import("../page.js").State} */
let state;

export function create() {
  element("export").addEventListener("click", () => saveTank(tank.journal));
  element("export-all").addEventListener("click", saveAll);
  element("export-table").addEventListener("click", () =>
    saveFile(`lentic-${fileName(tank.journal)}${present()}.csv`, tableOf(tank.journal), "text/csv"),
  );
  element("export-record").addEventListener("click", saveRecord);
  element("make-link").addEventListener("click", makeLink);
  element("copy-link").addEventListener("click", copyLink);
}

/** @param {import("../page.js").State} now */
export function show(now) {
  if (state?.journal !== now.journal || state?.on !== now.on) element("link").hidden = true;
  state = now;
  element("export-all").hidden = tank.all.length < 2;
}

function saveAll() {
  const tanks = tank.all.filter(isKnown).map(({ journal }) => journal);
  const text = JSON.stringify({ format: SET_FORMAT, tanks }, null, 2);
  saveFile(`lentic-tanks-${present()}.json`, `${text}\n`);
}

function saveRecord() {
  const text = record(state.journal, state.on);
  if (text) saveFile(`lentic-record-${fileName(state.journal)}${state.on}.json`, `${text}\n`);
}

async function makeLink() {
  const data = await written({ on: state.on, journal: state.journal });
  const [page] = location.href.split("#");
  const field = element("link-text");
  field.value = `${page}#case/${data}`;
  element("link").hidden = false;
  element("link-says").textContent = "";
  field.focus();
  field.select();
}

async function copyLink() {
  const field = element("link-text");
  field.select();
  const isCopied = await navigator.clipboard?.writeText(field.value).then(
    () => true,
    () => false,
  );
  element("link-says").textContent = word(isCopied ? "link copied" : "link not copied");
}
