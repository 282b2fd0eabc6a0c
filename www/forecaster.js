// Asks the worker that looks ahead: one question at a time, and of each kind only the newest.
import { bookWords } from "./engine.js";
import { wasmOf, workerOf } from "./files.js";

/**
 * @typedef {object} Asked
 * @property {"forecast" | "plan" | "compare" | "map"} what
 * @property {import("./engine.js").Held} journal
 * @property {string} on
 * @property {Record<string, string>} [prices]
 * @property {[string, string[]][]} [axes] two facts, each with the values to try
 * @property {string} [of] the gate or the rule that is asked about; none for the most urgent advice
 */

/** @typedef {{ found: any, calendar?: string | null, mistakes: import("./engine.js").JournalMistake[] }} Answer */

/** @typedef {{ text: string, answer: Promise<Answer>, given?: Answer }} Last */

/** A worker that the system has ended says nothing more, so this long is long enough. */
const PATIENCE = 90_000;

/** The last question of each kind. @type {Map<string, Last>} */
const last = new Map();
/** @type {Map<string, { asked: Asked, done: (answer: Answer) => void, failed: (error: Error) => void }>} */
const queue = new Map();
/** @type {{ done: (answer: Answer) => void, failed: (error: Error) => void } | undefined} */
let running;
/** @type {Worker | undefined} */
let worker;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/**
 * The answer to a question. It never comes if a newer question of the same kind took its place.
 * @param {Asked} asked
 * @returns {Promise<Answer>}
 */
export function foretell(asked) {
  const text = JSON.stringify(asked);
  const known = last.get(asked.what);
  if (known?.text === text) return known.answer;
  /** @type {Promise<Answer>} */
  const answer = new Promise((done, failed) => queue.set(asked.what, { asked, done, failed }));
  /** @type {Last} */
  const own = { text, answer };
  last.set(asked.what, own);
  answer.then(
    (given) => {
      own.given = given;
    },
    () => {
      if (last.get(asked.what) === own) last.delete(asked.what);
    },
  );
  next();
  return answer;
}

/**
 * The answer, if it has been given already.
 * @param {Asked} asked
 */
export function foretoldAlready(asked) {
  const known = last.get(asked.what);
  return known?.text === JSON.stringify(asked) ? known.given : undefined;
}

function next() {
  const [first] = queue;
  if (running || !first) return;
  const [what, one] = first;
  queue.delete(what);
  running = one;
  timer = setTimeout(fail, PATIENCE);
  try {
    worker ??= hired();
    worker.postMessage(one.asked);
  } catch {
    fail();
  }
}

function hired() {
  const one = workerOf("forecast-worker.js");
  const source = wasmOf("pkg/lentic_bg.wasm");
  const from = source instanceof URL ? source.href : source;
  one.postMessage({ source: from, words: bookWords() });
  one.addEventListener("message", ({ data }) => (data.error ? fail() : hear(data.answer)));
  one.addEventListener("error", fail);
  return one;
}

/** @param {Answer} answer */
function hear(answer) {
  clearTimeout(timer);
  running?.done(answer);
  running = undefined;
  next();
}

/** What has failed once is not trusted again: the next question gets a fresh worker. */
function fail() {
  clearTimeout(timer);
  worker?.terminate();
  worker = undefined;
  running?.failed(new Error("the worker stopped"));
  running = undefined;
  next();
}
