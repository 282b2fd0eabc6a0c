// What is coming? Pictures of the water over the days, and what they rest on.
import { assumedBlock } from "../parts/assumed.js";
import { chanceFigure } from "../parts/chance.js";
import { curveFigure } from "../parts/curve.js";
import { dataTable } from "../parts/data-table.js";
import { dayInBrief, dayInWords } from "../parts/day.js";
import { kindNamed } from "../parts/entry.js";
import { figure } from "../parts/figure.js";
import { foretold } from "../parts/foretold.js";
import { inTurn } from "../parts/in-turn.js";
import { copy, element, fill, made, piece, place } from "../parts/template.js";
import { word } from "../parts/words.js";

/** @typedef {import("../engine.js").Forecast} Forecast */

/** @type {(asked: import("../forecaster.js").Asked) => void} */
let ask;

export function create() {
  ask = foretold(element("forecast"), ({ found }) => [forecastBlock(found)]);
}

/** @param {import("../page.js").State} state */
export const show = ({ journal, on }) => ask({ what: "forecast", journal, on });

export const open = () => undefined;

/** @param {Forecast} forecast */
function forecastBlock(forecast) {
  const block = copy("forecast");
  const { agreement, assumed, capacity, curves, done, happenings, next, questions } = forecast;
  const times = timesOf(forecast);
  fill(block, { say: forecast.say });
  piece(block, "asked").hidden = questions.length === 0;
  piece(block, "legend").hidden = curves.length === 0;
  const reasons = agreement.causes.map(causeItem);
  if (agreement.fits) piece(block, "misfit").remove();
  else if (reasons.length > 0) piece(block, "causes").append(...reasons);
  else piece(block, "causes").replaceWith(made("p", word("cause none")));
  inTurn(piece(block, "figures"), [
    ...(done ? [() => chanceFigure(done, times)] : []),
    ...curves.map((curve) => () => curveFigure(curve, times)),
  ]);
  place(block, "deeds", happenings.length > 0 ? [deedsTable(happenings)] : [], "done");
  place(block, "next", next.map(nextItem), "telling");
  if (capacity) carry(block, capacity);
  else piece(block, "capacity").remove();
  // Where nothing was foretold, nothing was taken for granted.
  const isTaken = curves.length > 0 && assumed.length > 0;
  place(block, "assumed", isTaken ? [assumedBlock(assumed)] : []);
  return block;
}

/**
 * @param {Forecast} forecast
 * @returns {import("../parts/time-chart.js").Times}
 */
function timesOf({ date, days, done, happenings }) {
  return {
    days,
    now: days.indexOf(date),
    likely: days.indexOf(done?.likely ?? ""),
    words: { now: word("chart now"), likely: word("chart likely") },
    deeds: happenings.map((one) => ({ ...one, says: `${dayInBrief(one.date)}: ${deed(one)}` })),
  };
}

/** @param {Forecast["agreement"]["causes"][number]} cause */
const causeItem = ({ label, fits }) =>
  made("li", word(fits ? "cause fits" : "cause better", { label }));

/** @param {Forecast["happenings"][number]} happening */
const deed = ({ kind, planned }) =>
  planned ? word("deed planned", { kind: kindNamed(kind) }) : kindNamed(kind);

/** @param {Forecast["happenings"]} happenings */
const deedsTable = (happenings) =>
  dataTable(word("deeds"), [word("table day"), word("table what")], () =>
    happenings.map((one) => [dayInBrief(one.date), deed(one)]),
  );

/** @param {Forecast["next"][number]} tell */
const nextItem = ({ label, date }) => made("li", word("tell", { label, day: dayInWords(date) }));

/**
 * @param {HTMLElement} block
 * @param {NonNullable<Forecast["capacity"]>} capacity
 */
function carry(block, { label, shown, food_g, steps }) {
  const [low] = food_g;
  const high = food_g[food_g.length - 1];
  fill(block, {
    "carries-what": label,
    shown: shown
      ? word("food shown", {
          food: figure(shown.food_g),
          rise: figure(shown.rise_mg_l_n),
          dosed: dayInWords(shown.dosed),
          gone: dayInWords(shown.gone),
        })
      : "",
    foreseen: word("food foreseen", { low: figure(low), high: figure(high) }),
  });
  place(
    block,
    "steps",
    steps.map(({ from_day, food_g: food }) =>
      made("li", word("food step", { day: from_day, food: figure(food) })),
    ),
  );
}
