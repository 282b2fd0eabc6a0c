// Reads and proves a changed book beside the page, so that the page itself never waits.
import init, { Advisor, checkOverlays, proveOverlays } from "./pkg/lentic.js";

/**
 * @typedef {object} Asked
 * @property {number} turn
 * @property {"read" | "prove"} what
 * @property {{ name: string, text: string }[]} overlays
 * @property {import("./engine.js").Held} journal
 * @property {string} on
 */

/** @typedef {import("./engine.js").Texts} Texts */

/** @type {Promise<Advisor> | undefined} */
let builtIn;
/** The words that the book speaks in, if not its own. @type {Texts | undefined} */
let words;

/** @param {Texts} overlays */
const advisorWith = (overlays) =>
  words ? Advisor.inWords(words, overlays) : Advisor.withOverlays(overlays);

/** @param {{ source?: string | Uint8Array<ArrayBuffer>, words?: Texts } & Asked} data */
async function hear(data) {
  if (data.source) {
    words = data.words;
    builtIn = init({ module_or_path: data.source }).then(() => advisorWith([]));
    return;
  }
  try {
    const before = await builtIn;
    const answer = data.what === "prove" ? proveOverlays(data.overlays) : read(data, before);
    postMessage({ turn: data.turn, what: data.what, answer });
  } catch (error) {
    postMessage({ turn: data.turn, what: data.what, error: String(error) });
  }
}

addEventListener("message", ({ data }) => hear(data));

/**
 * What is wrong with the text, and what it changes for a tank.
 * @param {Asked} asked
 * @param {Advisor | undefined} before
 */
function read({ overlays, journal, on }, before) {
  const found = checkOverlays(overlays);
  if (found.mistakes.length > 0 || !before) return { found };
  const after = advisorWith(overlays);
  const { difference } = before.difference(journal, on, after, journal, on);
  const own = after
    .rules()
    .filter(({ by }) => by !== "")
    .map(({ rule, by }) => ({ rule, by }));
  after.free();
  return { found, difference, own };
}
