// The one module that speaks to the engine; everything else asks this one.
import init, { Advisor } from "./pkg/lentic.js";

/** @typedef {import("./pkg/lentic.js").Advice} Advice */
/** @typedef {import("./pkg/lentic.js").AdvicePoint} AdvicePoint */
/** @typedef {import("./pkg/lentic.js").AdviceResult} AdviceResult */
/** @typedef {import("./pkg/lentic.js").Beaten} Beaten */
/** @typedef {import("./pkg/lentic.js").CautionInfo} CautionInfo */
/** @typedef {import("./pkg/lentic.js").Change} Change */
/** @typedef {import("./pkg/lentic.js").Description} Description */
/** @typedef {import("./pkg/lentic.js").EventField} EventField */
/** @typedef {import("./pkg/lentic.js").EventForm} EventForm */
/** @typedef {import("./pkg/lentic.js").Evidence} Evidence */
/** @typedef {import("./pkg/lentic.js").FactInfo} FactInfo */
/** @typedef {import("./pkg/lentic.js").FunctionInfo} FunctionInfo */
/** @typedef {import("./pkg/lentic.js").GateAnswer} GateAnswer */
/** @typedef {import("./pkg/lentic.js").JournalMistake} JournalMistake */
/** @typedef {import("./pkg/lentic.js").NeedAnswer} NeedAnswer */
/** @typedef {import("./pkg/lentic.js").Question} Question */
/** @typedef {import("./pkg/lentic.js").Reckoned} Reckoned */
/** @typedef {import("./pkg/lentic.js").RuleInfo} RuleInfo */
/** @typedef {import("./pkg/lentic.js").SetAside} SetAside */
/** @typedef {import("./pkg/lentic.js").SourceRef} SourceRef */
/** @typedef {import("./pkg/lentic.js").Wanted} Wanted */
/** @typedef {import("./pkg/lentic.js").Withdrawn} Withdrawn */
/** @typedef {import("./pkg/lentic.js").Worked} Worked */

/** @type {Advisor} */
let advisor;

/** Loads the engine and its rule book from beside this module. */
export async function load() {
  await init({ module_or_path: new URL("./pkg/lentic_bg.wasm", import.meta.url) });
  advisor = new Advisor();
}

/** What the rule book holds. */
export const describe = () => advisor.describe();

/**
 * What the book says on a day about a journal.
 * @param {string | object} journal
 * @param {string} on
 */
export const advise = (journal, on) => advisor.advise(journal, on);

/**
 * Why a rule or a gate is what it is.
 * @param {object} journal
 * @param {string} on
 * @param {string} name
 */
export const why = (journal, on, name) => advisor.why(journal, on, name).why;

/**
 * Single entries that would change what a rule or a gate comes to.
 * @param {object} journal
 * @param {string} on
 */
export const changes = (journal, on) => advisor.changes(journal, on).changes;

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
