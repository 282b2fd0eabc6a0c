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
    const { gates, mistakes } = advisor.may(journal, on);
    if (mistakes.length > 0) return { found: null, mistakes };
    const verdict = gates.some(({ gate }) => gate === of) ? gateOf : adviceOf;
    const found = rows.map((row) =>
      columns.map((column) => {
        const tried = withReading(journal, on, { [across]: column, [up]: row });
        return verdict(advisor, tried, on, of);
      }),
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
 * The answer of a gate.
 * @param {Advisor} advisor
 * @param {import("./engine.js").Held} journal
 * @param {string} on
 * @param {string} [of]
 */
const gateOf = (advisor, journal, on, of) =>
  advisor.may(journal, on).gates.find(({ gate }) => gate === of)?.verdict ?? "";

/**
 * Whether a rule speaks, or how urgent the most urgent advice is.
 * @param {Advisor} advisor
 * @param {import("./engine.js").Held} journal
 * @param {string} on
 * @param {string} [of]
 */
function adviceOf(advisor, journal, on, of) {
  const { advice } = advisor.advise(journal, on, true);
  if (!advice) return "";
  if (!of) return advice.advice[0]?.urgency ?? "";
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
