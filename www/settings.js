// Small things the browser keeps for the page: which tank was open, which unit was used. Losing them loses nothing.
const PREFIX = "lentic ";

/**
 * What was kept under a name, if anything was and it can be read.
 * @param {string} name
 * @returns {any}
 */
export function kept(name) {
  try {
    return JSON.parse(localStorage.getItem(PREFIX + name) ?? "null") ?? undefined;
  } catch {
    return undefined;
  }
}

/**
 * @param {string} name
 * @param {any} value
 */
export function keep(name, value) {
  try {
    localStorage.setItem(PREFIX + name, JSON.stringify(value));
  } catch {
    // The next visit begins without it.
  }
}

/**
 * The text under a name, as older versions of the page kept a journal.
 * @param {string} name
 */
export function keptText(name) {
  try {
    return localStorage.getItem(PREFIX + name) ?? undefined;
  } catch {
    return undefined;
  }
}

/** @param {string} name */
export function drop(name) {
  try {
    localStorage.removeItem(PREFIX + name);
  } catch {
    // What cannot be reached was never kept.
  }
}
