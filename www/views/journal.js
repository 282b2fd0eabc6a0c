// The journal, newest first; each entry can be changed and taken out.
import { dayInWords, dayWithWeekday } from "../parts/day.js";
import { entryItem, kindOf } from "../parts/entry.js";
import { copy, element, fill, piece } from "../parts/template.js";
import { offerUndo } from "../parts/undo.js";
import { word } from "../parts/words.js";
import { replace, tank } from "../tank.js";

/** So many days stand open at first. */
const SEEN_AT_FIRST = 6;
let isWhole = false;

export function create() {
  element("journal-all").addEventListener("click", () => {
    isWhole = true;
    show(tank);
    element("title-journal").focus();
  });
}

/** @param {{ journal: import("../tank.js").Journal }} state */
export function show({ journal }) {
  const all = days(journal.events);
  const seen = isWhole ? all : all.slice(0, SEEN_AT_FIRST);
  element("journal").replaceChildren(...seen.map(dayItem));
  element("journal-all").hidden = seen.length === all.length;
  element("journal-empty").hidden = all.length > 0;
}

/** @param {import("../tank.js").Entry[]} events */
function days(events) {
  const indexed = events.map((entry, index) => ({ entry, index }));
  const newest = indexed.sort(
    (a, b) =>
      String(b.entry.on).localeCompare(String(a.entry.on)) ||
      String(b.entry.at ?? "").localeCompare(String(a.entry.at ?? "")) ||
      b.index - a.index,
  );
  /** @type {Map<string, typeof indexed>} */
  const grouped = new Map();
  for (const one of newest) grouped.set(one.entry.on, [...(grouped.get(one.entry.on) ?? []), one]);
  return [...grouped];
}

/** @param {[string, { entry: import("../tank.js").Entry, index: number }[]]} day */
function dayItem([on, entries]) {
  const node = copy("day");
  fill(node, { day: dayWithWeekday(on) });
  piece(node, "entries").append(
    ...entries.map(({ entry, index }) => entryItem(entry, index, () => remove(entry, index))),
  );
  return node;
}

/**
 * @param {import("../tank.js").Entry} entry
 * @param {number} index
 */
function remove(entry, index) {
  replace(index);
  const says = word("removed", { entry: kindOf(entry), day: dayInWords(entry.on) });
  offerUndo(says, element("title-journal"));
  element("undo-do").focus();
}
