// The chance by day that something has come, as a picture and a table.
import { named } from "./curve.js";
import { dataTable } from "./data-table.js";
import { dayInBrief } from "./day.js";
import { percent } from "./figure.js";
import { drawn, path, svg } from "./svg.js";
import { copy, fill, piece } from "./template.js";
import { timeChart } from "./time-chart.js";
import { word } from "./words.js";

/** So many days ahead a sentence looks. */
const AHEAD = [7, 14];

/**
 * @param {NonNullable<import("../engine.js").Forecast["done"]>} done
 * @param {import("./time-chart.js").Times} times
 */
export function chanceFigure({ label, chance, open }, times) {
  const node = copy("figure");
  const unsure = open > 0 ? word("chance open", { share: percent(open) }) : "";
  fill(node, {
    label: word("chance", { label }),
    unit: "",
    says: `${sentence(chance, times)} ${unsure}`.trim(),
  });
  const scale = { low: 0, high: 1, told: percent };
  const picture = drawn((width) =>
    named(
      node,
      timeChart(width, times, scale, (x, y) => {
        const line = chance.map(
          (share, day) => /** @type {[number, number]} */ ([x(day), y(share)]),
        );
        const floor = /** @type {[number, number][]} */ ([
          [x(chance.length - 1), y(0)],
          [x(0), y(0)],
        ]);
        return [
          svg("path", { class: "band half", d: `${path([...line, ...floor])}Z` }),
          svg("path", { class: "middle-line", d: path(line) }),
        ];
      }),
    ),
  );
  piece(node, "picture").append(picture);
  const head = [word("table day"), word("table chance")];
  const from = Math.max(0, times.now);
  piece(node, "table").append(
    dataTable(word("chance", { label }), head, () =>
      chance
        .slice(from)
        .map((share, index) => [dayInBrief(times.days[from + index]), percent(share)]),
    ),
  );
  return node;
}

/**
 * @param {number[]} chance
 * @param {import("./time-chart.js").Times} times
 */
function sentence(chance, { days, now }) {
  const last = days.length - 1;
  const [week, fortnight, end] = [
    ...AHEAD.map((ahead) => Math.min(last, Math.max(0, now) + ahead)),
    last,
  ];
  return word("chance by", {
    week: dayInBrief(days[week]),
    first: percent(chance[week]),
    fortnight: dayInBrief(days[fortnight]),
    second: percent(chance[fortnight]),
    end: dayInBrief(days[end]),
    third: percent(chance[end]),
  });
}
