// The coming weeks: what the book will ask for, day by day.
import { foretoldAlready } from "../forecaster.js";
import { assumedBlock } from "../parts/assumed.js";
import { dayInWords, daysAfter, weekdayInBrief } from "../parts/day.js";
import { saveFile } from "../parts/file.js";
import { foretold } from "../parts/foretold.js";
import { planItem } from "../parts/plan-item.js";
import { copy, element, fill, made, piece, place } from "../parts/template.js";
import { word } from "../parts/words.js";
import { fileName } from "./tanks.js";

/** @typedef {import("../engine.js").Plan} Plan */
/** @typedef {import("../engine.js").PlanItem} PlanItem */
/** @typedef {import("../page.js").State} State */

const DAYS_A_WEEK = 7;

/** @type {(asked: import("../forecaster.js").Asked) => void} */
let ask;
/** @type {State} */
let state;

/** @param {{ printWall: () => void }} ways */
export function create({ printWall }) {
  ask = foretold(element("plan"), ({ found, calendar }) => [planBlock(found, calendar ?? "")]);
  print = printWall;
}

let print = () => {};

/** @param {State} now */
const asked = ({ journal, on }) =>
  /** @type {import("../forecaster.js").Asked} */ ({ what: "plan", journal, on });

/** @param {State} now */
export function show(now) {
  state = now;
  ask(asked(now));
}

export const open = () => undefined;

/**
 * The plan, if it has been worked out already.
 * @param {State} now
 * @returns {Plan | undefined}
 */
export const planAlready = (now) => foretoldAlready(asked(now))?.found ?? undefined;

/**
 * @param {Plan} plan
 * @param {string} calendar
 */
function planBlock(plan, calendar) {
  const block = copy("plan");
  fill(block, { say: plan.say });
  piece(block, "misfit").hidden = plan.fits;
  piece(block, "asked").hidden = plan.questions.length === 0;
  place(block, "milestones", plan.milestones.map(milestoneItem), "firsts");
  const ways = piece(block, "ways");
  ways.hidden = plan.items.length === 0;
  piece(block, "save").addEventListener("click", () =>
    saveFile(`lentic-plan-${fileName(state.journal)}${plan.date}.ics`, calendar, "text/calendar"),
  );
  piece(block, "wall").addEventListener("click", () => print());
  place(block, "weeks", weekBlocks(plan.items));
  // Where nothing was planned, nothing was taken for granted.
  const isTaken = plan.milestones.length > 0 && plan.assumed.length > 0;
  place(block, "assumed", isTaken ? [assumedBlock(plan.assumed)] : []);
  return block;
}

/** @param {Plan["milestones"][number]} milestone */
function milestoneItem({ action_label, say }) {
  const item = made("li", "");
  item.append(made("strong", `${action_label}:`), ` ${say}.`);
  return item;
}

/** @param {PlanItem[]} items */
function weekBlocks(items) {
  /** @type {Set<string>} */
  const told = new Set();
  const isNew = (/** @type {string} */ caution) => !told.has(caution) && told.add(caution) && true;
  const days = [...new Set(items.map(({ date }) => date))];
  const weeks = [...new Set(days.map(mondayOf))];
  return weeks.map((monday) => {
    const week = copy("week");
    fill(week, { title: word("week", { day: dayInWords(monday) }) });
    const own = days.filter((day) => mondayOf(day) === monday);
    piece(week, "days").append(
      ...own.map((day) => {
        const item = copy("plan-day");
        const todo = items.filter(({ date }) => date === day);
        fill(item, { day: weekdayInBrief(day) });
        piece(item, "items").append(...todo.map((one) => planItem(one, isNew)));
        return item;
      }),
    );
    return week;
  });
}

/** The Monday on or before a day. @param {string} day */
function mondayOf(day) {
  const weekday = new Date(`${day}T00:00:00Z`).getUTCDay();
  return daysAfter(day, -((weekday + DAYS_A_WEEK - 1) % DAYS_A_WEEK));
}
