// Two sheets of paper: one for the wall, one with the whole case and its reasoning.
import { gatesOf } from "../asked.js";
import { heading, rowOf } from "../parts/data-table.js";
import { dayInWords, daysAfter, dayWithWeekday } from "../parts/day.js";
import { mark } from "../parts/mark.js";
import { planLine } from "../parts/plan-item.js";
import { copy, element, fill, made, piece } from "../parts/template.js";
import { word } from "../parts/words.js";
import { valuesOf } from "../vocabulary.js";
import { nameOf } from "./tanks.js";
import { planAlready } from "./weeks.js";

/** So many days have a line of their own on the wall, and so many tests a column. */
const DAYS = 10;
const TESTS = 5;

/** @type {import("../page.js").State} */
let state;

export function create() {
  element("print-wall").addEventListener("click", printWall);
  element("print-case").addEventListener("click", async () => {
    const opened = await unfold();
    printed("case");
    for (const details of opened) details.open = false;
  });
}

/** @param {import("../page.js").State} now */
export function show(now) {
  state = now;
}

export function printWall() {
  hang();
  printed("wall");
}

/** @param {"wall" | "case"} sheet */
function printed(sheet) {
  document.body.dataset.sheet = sheet;
  print();
  delete document.body.dataset.sheet;
}

/** Opens all reasons and what they rest on; each is written once it has been opened. */
async function unfold() {
  /** @type {HTMLDetailsElement[]} */
  const opened = [];
  for (;;) {
    const closed = [...element("advices").querySelectorAll("details:not([open])")];
    if (closed.length === 0) return opened;
    for (const details of closed) details.open = true;
    opened.push(...closed);
    await new Promise((written) => setTimeout(written));
  }
}

function hang() {
  const { advice, journal, on } = state;
  const sheet = element("wall");
  piece(sheet, "name").textContent = nameOf(journal);
  piece(sheet, "day").textContent = dayInWords(on);
  piece(sheet, "points").replaceChildren(...(advice?.advice ?? []).map(pointItem));
  piece(sheet, "gates").replaceChildren(
    ...gatesOf(state).map(({ ask, verdict }) => {
      const line = made("li", ` ${ask} `);
      line.prepend(mark(verdict));
      line.append(made("strong", word(`gate ${verdict}`)));
      return line;
    }),
  );
  const tests = valuesOf("read").slice(0, TESTS);
  const head = [word("table day"), ...tests.map(({ label }) => label), word("wall done")];
  piece(sheet, "head").replaceChildren(...head.map((text) => heading(text, "col")));
  const planned = planAlready(state)?.items ?? [];
  const rows = Array.from({ length: DAYS }, (_, index) => {
    const day = daysAfter(on, index);
    const row = rowOf([dayWithWeekday(day), ...head.slice(1).map(() => "")]);
    const todo = planned.filter(({ date }) => date === day).map(planLine);
    row.firstChild?.appendChild(made("small", todo.join("; ")));
    return row;
  });
  piece(sheet, "rows").replaceChildren(...rows);
}

/** @param {import("../engine.js").AdvicePoint} point */
function pointItem(point) {
  const item = copy("wall-point");
  piece(item, "mark").append(mark(point.urgency));
  fill(item, {
    urgency: word(`urgency ${point.urgency}`),
    action: point.action_label,
    amount: point.amount?.shown,
    say: point.say,
  });
  return item;
}
