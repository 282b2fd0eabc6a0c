// The tank that is looked at: the keeper's own, or the example, which is never kept.
import { forget, keep, kept, onChangeElsewhere, putAside } from "./store.js";

/** @typedef {{ on: string, at?: string, event: string, note?: string, [field: string]: any }} Entry */
/** @typedef {{ format: string, name?: string, tank: Record<string, any>, events: Entry[] }} Journal */

const NAME = "journal";

/** @returns {Journal} */
export const emptyJournal = () => ({ format: "lentic-journal/1", tank: {}, events: [] });

/** What is looked at now. */
export const tank = {
  journal: emptyJournal(),
  isExample: false,
  /** Whether the browser keeps what is written. */
  isKept: true,
  /** What the browser had kept and nobody could read. */
  unreadable: "",
};

/** @type {Set<() => void>} */
const listeners = new Set();
/** @type {Journal | undefined} */
let before;

/** @param {() => void} listener */
export const onChange = (listener) => listeners.add(listener);

const tell = () => {
  for (const listener of listeners) listener();
};

/** Opens the keeper's own tank if one is kept; tells whether there is one. */
export function openOwn() {
  const found = kept(NAME);
  if (found.refused) tank.isKept = false;
  if (hasShape(found.value)) {
    look(found.value, false);
    return true;
  }
  const text = found.value === undefined ? found.unreadable : JSON.stringify(found.value);
  if (text !== undefined) {
    tank.unreadable = text;
    putAside(NAME, text);
  }
  return false;
}

/** @param {any} value */
const hasShape = (value) =>
  Array.isArray(value?.events) && value.tank !== null && typeof value.tank === "object";

export const hasOwn = () => hasShape(kept(NAME).value);

/**
 * Looks at a journal as it is.
 * @param {Journal} journal
 * @param {boolean} isExample
 */
export function look(journal, isExample) {
  before = undefined;
  tank.journal = journal;
  tank.isExample = isExample;
  tell();
}

/** Begins an empty tank of the keeper's own. */
export function begin() {
  tank.isExample = false;
  change(emptyJournal());
}

/**
 * Puts a changed journal in place of the one looked at, and keeps it.
 * @param {Journal} journal
 */
export function change(journal) {
  before = tank.journal;
  tank.journal = journal;
  if (!tank.isExample) tank.isKept = keep(NAME, journal);
  tell();
}

/** Takes the last change back. */
export function undo() {
  if (before) change(before);
}

/** Forgets the keeper's own tank. */
export function forgetOwn() {
  before = undefined;
  forget(NAME);
}

/** @param {Entry} entry */
export const add = (entry) => change({ ...tank.journal, events: [...tank.journal.events, entry] });

/**
 * Puts an entry in place of another, or takes it out where there is none.
 * @param {number} index
 * @param {Entry} [entry]
 */
export const replace = (index, entry) =>
  change({
    ...tank.journal,
    events: tank.journal.events.flatMap((old, place) =>
      place === index ? (entry ? [entry] : []) : [old],
    ),
  });

/**
 * Sets, or without a text takes out, something about the tank as it began.
 * @param {string} fact
 * @param {string} text
 */
export function describeTank(fact, text) {
  const { [fact]: _, ...others } = tank.journal.tank;
  change({ ...tank.journal, tank: text ? { ...others, [fact]: text } : others });
}

/** @param {string} text */
export function nameTank(text) {
  const { name: _, ...others } = tank.journal;
  change(text ? { ...others, name: text } : others);
}

/**
 * Sets a value by its place, as in `events[3].values.name` or `tank.name`.
 * @param {string} place
 * @param {string} text
 */
export function setAt(place, text) {
  const journal = structuredClone(tank.journal);
  const steps = place.split(/[.[\]]+/).filter(Boolean);
  const last = steps.pop() ?? "";
  const holder = steps.reduce((/** @type {any} */ node, step) => node?.[step], journal);
  if (!holder || !Object.hasOwn(holder, last)) return;
  holder[last] = text;
  change(journal);
}

onChangeElsewhere(NAME, () => {
  if (!tank.isExample) openOwn();
});
