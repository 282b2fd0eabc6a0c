// The tanks kept in this browser: which is open, another one, one forgotten.
import { present } from "../parts/day.js";
import { asked } from "../parts/dialog.js";
import { saveFile } from "../parts/file.js";
import { choice, copy, element, fill, piece } from "../parts/template.js";
import { counted, word } from "../parts/words.js";
import { begin, forget, goBack, isKnown, look, openTank, tank } from "../tank.js";

/** @typedef {import("../store.js").Kept} Kept */

/** What stands in the list now, so that it is only written anew when it changes. */
let shown = "";

/** @param {{ showExample: () => void, opened: () => void, begun: () => void }} ways */
export function create({ showExample, opened, begun }) {
  element("another").addEventListener("click", () => {
    begin();
    begun();
  });
  element("see-example").addEventListener("click", showExample);
  element("which").addEventListener("change", () => {
    openTank(element("which").value);
    opened();
  });
  element("tanks").addEventListener("click", async (/** @type {Event} */ event) => {
    const button = /** @type {HTMLElement} */ (event.target).closest("button");
    const id = /** @type {HTMLElement | null} */ (button?.closest("[data-tank]"))?.dataset.tank;
    const found = tank.all.find((one) => one.id === id);
    if (!button || !found) return;
    if (button.value === "open") {
      openTank(found.id);
      opened();
    } else if (button.value === "save") {
      saveTank(found.journal);
    } else if (await isForgotten(found)) {
      const hasOther = tank.all.some(isKnown) && tank.kind === "own";
      if (tank.id !== found.id) look(tank.journal, tank.kind);
      else if (!hasOther || !goBack()) showExample();
      element("title-tanks").focus();
    }
  });
}

/** @param {Kept} one */
async function isForgotten({ id, journal }) {
  const answer = await asked("forgetting", { yours: entries(journal), name: nameOf(journal) });
  if (answer === "both") saveTank(journal);
  if (answer !== "both" && answer !== "replace") return false;
  await forget(id);
  return true;
}

/** @param {import("../tank.js").Journal} journal */
export const nameOf = (journal) => String(journal?.name || word("no name"));

/** @param {import("../tank.js").Journal} journal */
export const entries = (journal) => counted("entries", journal?.events?.length ?? 0);

/** @param {import("../tank.js").Journal} journal */
export const saveTank = (journal) =>
  saveFile(`lentic-${fileName(journal)}${present()}.json`, `${JSON.stringify(journal, null, 2)}\n`);

/**
 * The name of a tank as a part of a file's name.
 * @param {import("../tank.js").Journal} journal
 */
export function fileName(journal) {
  const name = String(journal?.name ?? "")
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "-");
  return name.replace(/^-|-$/g, "") ? `${name.replace(/^-|-$/g, "").slice(0, 40)}-` : "";
}

export function show() {
  const state = JSON.stringify([tank.kind, tank.id, tank.isSafe, tank.all.map((one) => line(one))]);
  if (state === shown) return;
  shown = state;
  const isOwn = tank.kind === "own";
  if (tank.isSafe) element("is-safe").textContent = word("safe");
  element("tanks").replaceChildren(...tank.all.map(tankItem));
  element("tanks-none").hidden = tank.all.length > 0;
  const known = tank.all.filter(isKnown);
  element("which").replaceChildren(...known.map(({ id, journal }) => choice(nameOf(journal), id)));
  if (isOwn) element("which").value = tank.id;
  element("which-field").hidden = !isOwn || known.length < 2;
  element("whose").hidden = isOwn && known.length > 1;
}

/** @param {Kept} one */
const line = ({ id, journal }) => [id, journal?.name, journal?.format, journal?.events?.length];

/** @param {Kept} one */
function tankItem(one) {
  const item = copy("tank");
  const { id, journal } = one;
  const isOpen = tank.kind === "own" && id === tank.id;
  item.dataset.tank = id;
  if (isOpen) item.setAttribute("aria-current", "true");
  const about = ` ${nameOf(journal)}`;
  fill(item, {
    name: nameOf(journal),
    entries: isKnown(one) ? entries(journal) : word("newer tank"),
    "open-about": about,
    "save-about": about,
    "forget-about": about,
  });
  piece(item, "open").hidden = isOpen || !isKnown(one);
  piece(item, "is-open").hidden = !isOpen;
  return item;
}
