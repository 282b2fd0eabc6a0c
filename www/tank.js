// The tank that is looked at: one of the keeper's own, somebody's case, or the example. Only own tanks are kept.
import { drop, keep, kept, keptText } from "./settings.js";
import * as store from "./store.js";

/** @typedef {{ on: string, at?: string, event: string, note?: string, [field: string]: any }} Entry */
/** @typedef {{ format: string, name?: string, tank: Record<string, any>, events: Entry[] }} Journal */
/** @typedef {(journal: Journal) => Journal} Edit */

export const FORMAT = "lentic-journal/1";
/** Where the page once kept its only journal, and where it keeps which tank was open. */
const OLD = "journal";
const OPEN = "tank";

/** @returns {Journal} */
export const emptyJournal = () => ({ format: FORMAT, tank: {}, events: [] });

/** What is looked at now. */
export const tank = {
  journal: emptyJournal(),
  /** @type {"own" | "case" | "example"} */
  kind: "own",
  id: "",
  /** @type {store.Kept[]} every tank of the keeper's own, in the order of their names */
  all: [],
  /** @type {"" | "refused" | "full" | "newer"} why the browser does not keep what is written */
  trouble: "",
  /** Whether the browser has promised not to clear what is kept by itself. */
  isSafe: false,
  /** What the browser had kept and nobody could read. */
  unreadable: "",
  /** Counts what the keeper does to the journal that is looked at. */
  turn: 0,
};

/** @type {Set<() => void>} */
const listeners = new Set();
/** @type {Edit | undefined} */
let back;
/** Changes that are on the screen and not yet kept. @type {{ id: string, edit: Edit }[]} */
const waiting = [];
let isWriting = false;

/** @param {() => void} listener */
export const onChange = (listener) => listeners.add(listener);

const tell = () => {
  for (const listener of listeners) listener();
};

/** Told when something about the keeping has changed and the journal that is shown has not. */
let tellKept = () => {};

/** @param {() => void} listener */
export function onKept(listener) {
  tellKept = listener;
}

/** Opens what the browser keeps, with what older versions kept; tells whether there is a tank to look at. */
export async function openOwn() {
  try {
    await store.openStore();
    await takeOver();
    store.onChangeElsewhere(follow);
    await list();
    tank.unreadable = (await store.allAside()).at(-1) ?? "";
    tank.isSafe = await store.isSafe(false);
  } catch (error) {
    tank.trouble = troubleOf(error);
    const text = keptText(OLD);
    if (text !== undefined && !hasShape(parsed(text))) tank.unreadable = text;
    else if (text !== undefined) return lookAtOwn({ id: freshId(), journal: parsed(text) });
  }
  return goBack();
}

async function takeOver() {
  const text = keptText(OLD);
  if (text === undefined) return;
  const journal = parsed(text);
  if (hasShape(journal)) await store.takeOver(freshId(), journal);
  else await store.putAside(text);
  drop(OLD);
}

/** @param {string} text */
function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** @param {any} value */
const hasShape = (value) =>
  Array.isArray(value?.events) && value.tank !== null && typeof value.tank === "object";

/** Whether this page knows how to read a tank that is kept. @param {store.Kept} one */
export const isKnown = ({ journal }) => journal?.format === FORMAT && hasShape(journal);

/** @param {unknown} error */
function troubleOf(error) {
  const name = /** @type {DOMException} */ (error)?.name;
  if (name === "VersionError") return "newer";
  return name === "QuotaExceededError" ? "full" : "refused";
}

async function list() {
  const all = await store.allTanks();
  tank.all = all.sort((a, b) => named(a).localeCompare(named(b)) || a.id.localeCompare(b.id));
}

/** @param {store.Kept} one */
const named = ({ journal }) => String(journal?.name ?? "");

const freshId = () =>
  [...crypto.getRandomValues(new Uint8Array(8))]
    .map((byte) => byte.toString(16).padStart(2, "0"))
    .join("");

/** Back to the tank that was open last; tells whether there is one. */
export function goBack() {
  const known = tank.all.filter(isKnown);
  const found = known.find(({ id }) => id === kept(OPEN)) ?? known[0];
  return found ? lookAtOwn(found) : false;
}

/** @param {string} id */
export function openTank(id) {
  const found = tank.all.find((one) => one.id === id);
  if (found && isKnown(found)) lookAtOwn(found);
}

/** @param {store.Kept} one */
function lookAtOwn({ id, journal }) {
  tank.id = id;
  keep(OPEN, id);
  look(journal, "own");
  return true;
}

/**
 * Looks at a journal as it is.
 * @param {Journal} journal
 * @param {"own" | "case" | "example"} kind
 */
export function look(journal, kind) {
  back = undefined;
  tank.turn += 1;
  tank.journal = journal;
  tank.kind = kind;
  tell();
}

/**
 * Begins another tank of the keeper's own.
 * @param {Journal} [journal]
 */
export function begin(journal = emptyJournal()) {
  tank.kind = "own";
  tank.id = freshId();
  keep(OPEN, tank.id);
  change(() => journal);
  back = undefined;
  store.isSafe(true).then(
    (isSafe) => {
      tank.isSafe = isSafe;
      tellKept();
    },
    () => {},
  );
}

/**
 * Changes the journal that is looked at, and keeps it if it is the keeper's own.
 * @param {Edit} edit
 * @param {Edit} [undoing]
 */
export function change(edit, undoing) {
  const before = tank.journal;
  tank.turn += 1;
  tank.id ||= freshId();
  back = undoing ?? (() => before);
  tank.journal = edit(before);
  if (tank.kind === "own") {
    waiting.push({ id: tank.id, edit });
    write();
  }
  tell();
}

/** Takes the last change back. */
export function undo() {
  if (back) change(back);
}

async function write() {
  if (isWriting) return;
  isWriting = true;
  const shown = tank.journal;
  try {
    while (waiting.length > 0) await writeNext();
    if (tank.trouble !== "newer") tank.trouble = "";
  } catch (error) {
    if (tank.trouble !== "newer") tank.trouble = troubleOf(error);
  }
  isWriting = false;
  if (tank.journal === shown) tellKept();
  else tell();
}

/** Writes what is waiting for the first tank that waits. */
async function writeNext() {
  const { id } = waiting[0];
  const own = waiting.filter((one) => one.id === id);
  const shown = tank.journal;
  const journal = await store.updateTank(id, (found) => {
    // What another window has forgotten is written whole, as it stands on this screen.
    if (!found && id === tank.id) return shown;
    return own.reduce((whole, { edit }) => edit(whole), found ?? emptyJournal());
  });
  for (const one of own) waiting.splice(waiting.indexOf(one), 1);
  await list();
  settle(id, journal);
}

/**
 * Shows what is kept, with what is not kept yet.
 * @param {string} id
 * @param {Journal} journal
 */
function settle(id, journal) {
  if (tank.kind !== "own" || tank.id !== id) return;
  const own = waiting.filter((one) => one.id === id);
  const whole = own.reduce((before, { edit }) => edit(before), journal);
  if (JSON.stringify(whole) !== JSON.stringify(tank.journal)) tank.journal = whole;
}

/** Takes over what another window has changed. */
async function follow() {
  const shown = tank.journal;
  try {
    await list();
    const found = tank.all.find(({ id }) => id === tank.id);
    if (found && isKnown(found)) settle(found.id, found.journal);
  } catch (error) {
    tank.trouble = troubleOf(error);
  }
  if (tank.journal === shown) tellKept();
  else tell();
}

/**
 * Keeps a journal as a further tank, without looking at it.
 * @param {Journal} journal
 */
export function keepBeside(journal) {
  waiting.push({ id: freshId(), edit: () => journal });
  write();
}

/** @param {string} id */
export async function forget(id) {
  back = undefined;
  for (const one of waiting.filter((one) => one.id === id)) waiting.splice(waiting.indexOf(one), 1);
  tank.all = tank.all.filter((one) => one.id !== id);
  await store.forgetTank(id).catch((error) => {
    tank.trouble = troubleOf(error);
  });
}

/** @param {Entry} entry */
export const add = (entry) => change(withEntry(entry), withoutEntry(entry));

/** @param {Entry} entry @returns {Edit} */
const withEntry = (entry) => (journal) => ({ ...journal, events: [...journal.events, entry] });

/** @param {Entry} entry @returns {Edit} */
const withoutEntry = (entry) => swapped(entry, -1, undefined);

/**
 * Puts an entry in place of another, or takes it out where there is none.
 * @param {number} index
 * @param {Entry} [entry]
 */
export function replace(index, entry) {
  const old = tank.journal.events[index];
  change(
    swapped(old, index, entry),
    entry ? swapped(entry, index, old) : (journal) => inserted(journal, index, old),
  );
}

/**
 * Another window may have moved or changed the entry since: it is known by what it says.
 * @param {Entry} old
 * @param {number} index
 * @param {Entry} [entry]
 * @returns {Edit}
 */
const swapped = (old, index, entry) => (journal) => {
  const text = JSON.stringify(old);
  const isIt = (/** @type {Entry} */ one) => JSON.stringify(one) === text;
  const { events } = journal;
  const at = events[index] && isIt(events[index]) ? index : events.findLastIndex(isIt);
  if (at < 0) return entry ? withEntry(entry)(journal) : journal;
  return {
    ...journal,
    events: events.flatMap((one, place) => (place === at ? (entry ? [entry] : []) : [one])),
  };
};

/**
 * @param {Journal} journal
 * @param {number} index
 * @param {Entry} entry
 */
const inserted = (journal, index, entry) => ({
  ...journal,
  events: journal.events.toSpliced(index, 0, entry),
});

/**
 * Sets, or without a text takes out, something about the tank as it began.
 * @param {string} fact
 * @param {string} text
 */
export function describeTank(fact, text) {
  const old = tank.journal.tank[fact];
  change(described(fact, text), described(fact, old));
}

/**
 * @param {string} fact
 * @param {any} value
 * @returns {Edit}
 */
const described = (fact, value) => (journal) => {
  const { [fact]: _, ...others } = journal.tank;
  return { ...journal, tank: value ? { ...others, [fact]: value } : others };
};

/** @param {string} text */
export function nameTank(text) {
  const old = tank.journal.name;
  change(withName(text), withName(old));
}

/** @param {string | undefined} text @returns {Edit} */
const withName = (text) => (journal) => {
  const { name: _, ...others } = journal;
  return text ? { ...others, name: text } : others;
};

/**
 * Sets a value by its place, as in `events[3].values.name` or `tank.name`.
 * @param {string} place
 * @param {string} text
 */
export function setAt(place, text) {
  const found = /^events\[(\d+)\]\.(.+)$/.exec(place);
  if (!found) return describeTank(place.replace(/^tank\./, ""), text);
  const index = Number(found[1]);
  const entry = structuredClone(tank.journal.events[index]);
  const steps = found[2].split(/[.[\]]+/).filter(Boolean);
  const last = steps.pop() ?? "";
  const holder = steps.reduce((/** @type {any} */ node, step) => node?.[step], entry);
  if (!holder || !Object.hasOwn(holder, last)) return;
  holder[last] = text;
  replace(index, entry);
}

/** What could not be kept is only on the screen, so the browser asks before it goes. */
export const guardLeaving = () =>
  addEventListener("beforeunload", (event) => {
    if (waiting.length > 0) event.preventDefault();
  });
