// The tanks that the browser keeps, in a database of its own. Each change is one transaction on what is kept at
// that moment, so that two windows never overwrite each other.

/** @typedef {import("./tank.js").Journal} Journal */
/** @typedef {{ id: string, journal: Journal }} Kept */

const NAME = "lentic";
const EDITION = 1;
const TANKS = "tanks";
/** Texts that nobody could read, kept as they were. */
const ASIDE = "aside";

/** @type {IDBDatabase | undefined} */
let database;
/** Whether a newer version of the page has taken the database over. */
let isReplaced = false;
/** @type {BroadcastChannel | undefined} */
let channel;

/** Opens the database; throws what the browser says against it. */
export async function openStore() {
  const asked = indexedDB.open(NAME, EDITION);
  asked.addEventListener("upgradeneeded", () => {
    asked.result.createObjectStore(TANKS, { keyPath: "id" });
    asked.result.createObjectStore(ASIDE, { autoIncrement: true });
  });
  database = await done(asked);
  // A newer version of the page may change the database while this one is still open.
  database.addEventListener("versionchange", () => {
    database?.close();
    database = undefined;
    isReplaced = true;
  });
}

/** Every tank that is kept. @returns {Promise<Kept[]>} */
export const allTanks = () => done(within("readonly", TANKS).getAll());

/** @param {string} id @returns {Promise<Kept | undefined>} */
export const tankOf = (id) => done(within("readonly", TANKS).get(id));

/**
 * Changes what is kept of a tank; gives what is kept then.
 * @param {string} id
 * @param {(journal: Journal | undefined) => Journal} edit
 * @returns {Promise<Journal>}
 */
export async function updateTank(id, edit) {
  const tanks = within("readwrite", TANKS);
  const found = await done(tanks.get(id));
  const journal = edit(found?.journal);
  await kept(tanks, () => tanks.put({ ...found, id, journal }));
  return journal;
}

/** @param {string} id */
export async function forgetTank(id) {
  const tanks = within("readwrite", TANKS);
  await kept(tanks, () => tanks.delete(id));
}

/**
 * Takes over a journal that an older version of the page kept elsewhere, once.
 * @param {string} id
 * @param {Journal} journal
 */
export async function takeOver(id, journal) {
  const tanks = within("readwrite", TANKS);
  const text = JSON.stringify(journal);
  const all = /** @type {Kept[]} */ (await done(tanks.getAll()));
  if (all.some((one) => JSON.stringify(one.journal) === text)) return;
  await kept(tanks, () => tanks.add({ id, journal }));
}

/** @param {string} text */
export async function putAside(text) {
  const aside = within("readwrite", ASIDE);
  await kept(aside, () => aside.add(text));
}

/** Texts that were put aside. @returns {Promise<string[]>} */
export const allAside = () => done(within("readonly", ASIDE).getAll());

/**
 * Calls back when another window has changed what is kept.
 * @param {() => void} changed
 */
export function onChangeElsewhere(changed) {
  channel = new BroadcastChannel(NAME);
  channel.addEventListener("message", changed);
}

/**
 * Asks the browser not to clear what is kept when space runs short; tells whether it agreed.
 * @param {boolean} isAsked whether to ask, or only to look
 */
export async function isSafe(isAsked) {
  const { storage } = navigator;
  if (isAsked) return (await storage?.persist?.()) ?? false;
  return (await storage?.persisted?.()) ?? false;
}

/**
 * @param {IDBTransactionMode} mode
 * @param {string} name
 */
function within(mode, name) {
  if (!database) {
    const name = isReplaced ? "VersionError" : "InvalidStateError";
    throw new DOMException("The database is not open.", name);
  }
  return database.transaction(name, mode).objectStore(name);
}

/**
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
const done = (request) =>
  new Promise((resolve, reject) => {
    request.addEventListener("success", () => resolve(request.result));
    request.addEventListener("error", () => reject(request.error));
  });

/**
 * Writes, and waits until the whole transaction is kept.
 * @param {IDBObjectStore} store
 * @param {() => IDBRequest} write
 */
function kept({ transaction }, write) {
  return new Promise((resolve, reject) => {
    transaction.addEventListener("complete", () => {
      channel?.postMessage("");
      resolve(undefined);
    });
    transaction.addEventListener("abort", () => reject(transaction.error));
    write();
  });
}
