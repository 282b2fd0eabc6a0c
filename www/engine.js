// The one module that speaks to the engine; everything else asks this one.
import { textOf, wasmOf } from "./files.js";
import init, { Advisor, builtInFiles } from "./pkg/page.js";

/** @typedef {import("./pkg/lentic.js").Advice} Advice */
/** @typedef {Advisor} AdvisorOfBook */
/** @typedef {import("./pkg/lentic.js").AdvicePoint} AdvicePoint */
/** @typedef {import("./pkg/lentic.js").AdviceResult} AdviceResult */
/** @typedef {import("./pkg/lentic.js").Assumed} Assumed */
/** What is said on a day; its gates are asked by themselves. @typedef {Omit<Advice, "gates">} Said */
/** @typedef {import("./pkg/lentic.js").Beaten} Beaten */
/** @typedef {import("./pkg/lentic.js").CautionInfo} CautionInfo */
/** @typedef {import("./pkg/lentic.js").Change} Change */
/** @typedef {import("./pkg/lentic.js").Comparison} Comparison */
/** @typedef {import("./pkg/lentic.js").Curve} Curve */
/** @typedef {import("./pkg/lentic.js").Description} Description */
/** @typedef {import("./pkg/lentic.js").Difference} Difference */
/** @typedef {import("./pkg/lentic.js").EventField} EventField */
/** @typedef {import("./pkg/lentic.js").EventForm} EventForm */
/** @typedef {import("./pkg/lentic.js").Evidence} Evidence */
/** @typedef {import("./pkg/lentic.js").FactInfo} FactInfo */
/** @typedef {import("./pkg/lentic.js").Fit} Fit */
/** @typedef {import("./pkg/lentic.js").Forecast} Forecast */
/** @typedef {import("./pkg/lentic.js").FunctionInfo} FunctionInfo */
/** @typedef {import("./pkg/lentic.js").GateAnswer} GateAnswer */
/** @typedef {import("./pkg/lentic.js").JournalMistake} JournalMistake */
/** @typedef {import("./pkg/lentic.js").NeedAnswer} NeedAnswer */
/** @typedef {import("./pkg/lentic.js").PairFit} PairFit */
/** @typedef {import("./pkg/lentic.js").Plan} Plan */
/** @typedef {import("./pkg/lentic.js").PlanItem} PlanItem */
/** @typedef {import("./pkg/lentic.js").ProofResult} ProofResult */
/** @typedef {import("./pkg/lentic.js").Question} Question */
/** @typedef {import("./pkg/lentic.js").Reckoned} Reckoned */
/** @typedef {import("./pkg/lentic.js").RuleInfo} RuleInfo */
/** @typedef {import("./pkg/lentic.js").SetAside} SetAside */
/** @typedef {import("./pkg/lentic.js").SourceRef} SourceRef */
/** @typedef {import("./pkg/lentic.js").Span} Span */
/** @typedef {import("./pkg/lentic.js").SpeciesFit} SpeciesFit */
/** @typedef {import("./pkg/lentic.js").Unsure} Unsure */
/** @typedef {import("./pkg/lentic.js").Verified} Verified */
/** @typedef {import("./pkg/lentic.js").Wanted} Wanted */
/** @typedef {import("./pkg/lentic.js").WhyNot} WhyNot */
/** @typedef {import("./pkg/lentic.js").Withdrawn} Withdrawn */
/** @typedef {import("./pkg/lentic.js").Worked} Worked */

/** A journal as the page holds it, or its text; no script names the fields of its events. @typedef {any} Held */

/** The advisor that is asked. @type {Advisor} */
let advisor;
/** @type {Promise<unknown> | undefined} */
let loaded;

/** Loads the engine from beside this module, once. */
export function loadEngine() {
  loaded ??= init({ module_or_path: wasmOf("pkg/page_bg.wasm") });
  return loaded;
}

/** @typedef {{ name: string, text: string }[]} Texts */

/** The language that the book is written in, and needs no other words for. */
const OWN = "en";
/** @type {Map<string, Promise<Texts | undefined>>} */
const words = new Map();
/** The words that the page's own book speaks in. @type {Texts | undefined} */
let spoken;

/**
 * The words of the built-in book in a language, fetched once; nothing for its own.
 * @param {string} language
 * @returns {Promise<Texts | undefined>}
 */
export function wordsOf(language) {
  const found =
    words.get(language) ??
    (language === OWN
      ? Promise.resolve(undefined)
      : textOf(`words/${language}.json`).then((text) => JSON.parse(text)));
  words.set(language, found);
  return found;
}

/**
 * Loads the engine with its own rule book in a language.
 * @param {string} language
 */
export async function load(language) {
  [spoken] = await Promise.all([wordsOf(language), loadEngine()]);
  advisor = advisorWith([], spoken);
}

/** The words of the page's book, for a worker that reads the book once more; nothing for its own language. */
export const bookWords = () => spoken;

/**
 * An advisor with overlays over the built-in book, which may speak in other words. Throws the mistakes of their text.
 * @param {Texts} overlays
 * @param {Texts} [own]
 */
export function advisorWith(overlays, own) {
  if (own) return Advisor.inWords(own, overlays);
  return overlays.length > 0 ? Advisor.withOverlays(overlays) : new Advisor();
}

/** @param {Advisor} other */
export function ask(other) {
  advisor = other;
}

/** The files of the built-in book. */
export const bookFiles = () => builtInFiles();

/** What the rule book holds, but for its rules. */
export const describe = () => advisor.describe();

/** The rules of the book. */
export const rules = () => advisor.rules();

/** What a rule finds, with a gap where a value belongs. @param {string} rule */
export const findingOf = (rule) => advisor.finding(rule);

/**
 * What the book says on a day about a journal.
 * @param {Held} journal
 * @param {string} on
 * @returns {{ advice: Said | null, mistakes: JournalMistake[] }}
 */
export const advise = (journal, on) => advisor.advise(journal, on, true);

/**
 * The whole of what the book says on a day about a journal.
 * @param {Held} journal
 * @param {string} on
 */
export const adviseWhole = (journal, on) => advisor.advise(journal, on);

/**
 * What the gates say.
 * @param {Held} journal
 * @param {string} on
 */
export const may = (journal, on) => advisor.may(journal, on).gates;

/**
 * Why a rule or a gate is what it is.
 * @param {Held} journal
 * @param {string} on
 * @param {string} name
 */
export const why = (journal, on, name) => advisor.why(journal, on, name).why;

/**
 * Single entries that would change what a rule or a gate comes to, or any.
 * @param {Held} journal
 * @param {string} on
 * @param {string} [of]
 */
export const changes = (journal, on, of) => advisor.changes(journal, on, of).changes;

/**
 * What every rule comes to.
 * @param {Held} journal
 * @param {string} on
 */
export const standings = (journal, on) => advisor.standings(journal, on);

/**
 * Why a rule does not speak, and what would make it.
 * @param {Held} journal
 * @param {string} on
 * @param {string} rule
 */
export const whyNot = (journal, on, rule) => advisor.whyNot(journal, on, rule).why_not;

/**
 * The smallest sets of facts that alone decide a rule.
 * @param {Held} journal
 * @param {string} on
 * @param {string} rule
 */
export const enough = (journal, on, rule) => advisor.reasons(journal, on, rule, false).sets;

/**
 * How the answer to one case differs from the answer to another, or from what another book answers.
 * @param {{ journal: Held, on: string }} before
 * @param {{ journal: Held, on: string }} after
 * @param {Advisor} [other]
 */
export const difference = (before, after, other = advisor) =>
  advisor.difference(before.journal, before.on, other, after.journal, after.on);

/**
 * Journal, day, book and answer as one text that can be verified later.
 * @param {Held} journal
 * @param {string} on
 */
export const record = (journal, on) => advisor.record(journal, on).record;

/** @param {string} text */
export const verify = (text) => advisor.verify(text);

/**
 * What a typed value is taken for.
 * @param {string} fact
 * @param {string} text
 */
export const enter = (fact, text) => advisor.enter(fact, text);

/**
 * An amount, or what is missing for it.
 * @param {string} name
 * @param {Record<string, string>} values
 */
export const reckon = (name, values) => advisor.reckon(name, values);

/**
 * How plants and animals go with a tank and with each other.
 * @param {Held} journal
 * @param {string} on
 * @param {Record<string, number>} wishes how many more of each are wanted
 */
export const fit = (journal, on, wishes) => advisor.fit(journal, on, wishes);
