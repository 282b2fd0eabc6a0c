// Follows many tanks like the keeper's own day by day, beside the page, so that the page itself never halts.
import init, { Advisor } from "./pkg/lentic.js";

/** @typedef {import("./forecaster.js").Asked} Asked */

/** @type {Promise<Advisor> | undefined} */
let ready;

/** @type {Record<Asked["what"], (advisor: Advisor, asked: Asked) => import("./forecaster.js").Answer>} */
const answers = {
  forecast: (advisor, { journal, on }) => {
    const { forecast, mistakes } = advisor.forecast(journal, on);
    return { found: forecast, mistakes };
  },
  plan: (advisor, { journal, on }) => {
    const { plan, calendar, mistakes } = advisor.plan(journal, on);
    return { found: plan, calendar, mistakes };
  },
  compare: (advisor, { journal, on, prices }) => {
    const { comparison, mistakes } = advisor.compare(journal, on, prices ?? {});
    return { found: comparison, mistakes };
  },
  map: (advisor, { journal, on, axes, of }) => {
    const [[across, columns], [up, rows]] = axes ?? [
      ["", []],
      ["", []],
    ];
    const tried = (/** @type {Record<string, string>} */ values) =>
      advisor.advise(withReading(journal, on, values), on);
    const { mistakes } = advisor.advise(journal, on);
    if (mistakes.length > 0) return { found: null, mistakes };
    const found = rows.map((row) =>
      columns.map((column) => verdictOf(tried({ [across]: column, [up]: row }).advice, of)),
    );
    return { found, mistakes: [] };
  },
};

/**
 * A journal with one more reading, the last of its day.
 * @param {import("./engine.js").Held} journal
 * @param {string} on
 * @param {Record<string, string>} values
 */
function withReading(journal, on, values) {
  const { events } = /** @type {{ events: object[] }} */ (journal);
  return { ...journal, events: [...events, { on, at: "23:59", event: "read", values }] };
}

/**
 * The answer of a gate, whether a rule speaks, or how urgent the most urgent advice is.
 * @param {import("./engine.js").Advice | null} advice
 * @param {string} [of]
 */
function verdictOf(advice, of) {
  if (!advice) return "";
  if (!of) return advice.advice[0]?.urgency ?? "";
  const gate = advice.gates.find((one) => one.gate === of);
  if (gate) return gate.verdict;
  const point = advice.advice.find(({ rule }) => rule === of);
  if (point) return point.certain ? "holds" : "open";
  return advice.open.some(({ rule }) => rule === of) ? "open" : "fails";
}

/** @typedef {{ source?: string | Uint8Array<ArrayBuffer>, words?: import("./engine.js").Texts }} Source */

/** @param {Source & Asked} data */
async function hear(data) {
  if (data.source) {
    const { words } = data;
    ready = init({ module_or_path: data.source }).then(() =>
      words ? Advisor.inWords(words, []) : new Advisor(),
    );
    ready.catch(() => {});
    return;
  }
  try {
    const advisor = await ready;
    if (!advisor) throw new Error("nothing to ask");
    postMessage({ answer: answers[data.what](advisor, data) });
  } catch (error) {
    postMessage({ error: String(error) });
  }
}

addEventListener("message", ({ data }) => hear(data));
