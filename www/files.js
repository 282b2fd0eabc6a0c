// The files beside the page. The page as one file holds them itself, since nothing can be fetched from a disk.
const beside = new URL("./", import.meta.url);

/** @param {string} name */
const held = (name) =>
  /** @type {HTMLElement | null} */ (document.querySelector(`script[data-held~="${name}"]`));

/** Whether the page is one file that holds everything. */
export const isOneFile = () => held("demo.json") !== null;

/** @param {string} name */
export const addressOf = (name) => new URL(name, beside);

/** @param {string} name */
export async function textOf(name) {
  const own = held(name);
  if (own) return own.textContent ?? "";
  const answer = await fetch(addressOf(name));
  if (!answer.ok) throw new Error(`${name}: ${answer.status}`);
  return answer.text();
}

/**
 * What to make the engine from.
 * @param {string} name
 */
export function wasmOf(name) {
  const own = held(name);
  if (!own) return addressOf(name);
  const letters = atob(own.textContent ?? "");
  return Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
}

/**
 * A worker from a file beside the page.
 * @param {string} name
 */
export function workerOf(name) {
  const own = held(name);
  if (!own) return new Worker(trusted(name), { type: "module" });
  const script = new Blob([own.textContent ?? ""], { type: "text/javascript" });
  return new Worker(trusted(URL.createObjectURL(script)));
}

/** @type {{ createScriptURL: (text: string) => any } | undefined} */
let policy;

/**
 * The page's only step from text to script: its own workers.
 * @param {string} name
 */
export function trusted(name) {
  const address = name.startsWith("blob:") ? name : addressOf(name).href;
  const { trustedTypes } = /** @type {any} */ (globalThis);
  if (!trustedTypes) return address;
  policy ??= trustedTypes.createPolicy("lentic-worker", {
    createScriptURL: (/** @type {string} */ text) => text,
  });
  return policy?.createScriptURL(address);
}
