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
};

/** @param {{ source?: string | Uint8Array<ArrayBuffer> } & Asked} data */
async function hear(data) {
  if (data.source) {
    ready = init({ module_or_path: data.source }).then(() => new Advisor());
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
