// The page and the rule book in the other languages that there are: only to understand what was written there.
import { advisorWith, wordsOf } from "./engine.js";
import { markupAt } from "./markup.js";
import { language, writesComma } from "./parts/locale.js";
import { wordsIn } from "./parts/words.js";

/**
 * @typedef {object} Tongue
 * @property {(name: string) => string} word
 * @property {(fact: string) => string} labelOf
 * @property {boolean} hasComma
 */

/** @type {Promise<Tongue[]> | undefined} */
let found;

/** Those that can be fetched: a page that is one file has none beside it, and without a network they may be missing. */
export function elsewhere() {
  found ??= Promise.all(others().map((link) => tongue(link).catch(() => undefined))).then(
    (tongues) => tongues.filter((one) => one !== undefined),
  );
  return found;
}

const others = () =>
  [
    .../** @type {NodeListOf<HTMLLinkElement>} */ (
      document.querySelectorAll("link[rel=alternate][hreflang]")
    ),
  ].filter(({ hreflang }) => hreflang !== language());

/**
 * @param {HTMLLinkElement} link
 * @returns {Promise<Tongue>}
 */
async function tongue({ hreflang, href }) {
  const [markup, own] = await Promise.all([markupAt(href), wordsOf(hreflang)]);
  const words = wordsIn(/** @type {HTMLTemplateElement} */ (markup.querySelector("#words")));
  const advisor = advisorWith([], own);
  const labels = new Map(advisor.describe().facts.map(({ name, label }) => [name, label]));
  advisor.free();
  return {
    word: (name) => words.get(name) ?? name,
    labelOf: (fact) => labels.get(fact) ?? fact,
    hasComma: writesComma(hreflang),
  };
}
