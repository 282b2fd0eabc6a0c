// What the browser keeps for the page. Every name lies under one prefix.
const PREFIX = "lentic ";

/**
 * What was kept under a name: its value, nothing, or a text that is no JSON.
 * @param {string} name
 * @returns {{ value?: any, unreadable?: string, refused?: boolean }}
 */
export function kept(name) {
  let text;
  try {
    text = localStorage.getItem(PREFIX + name);
  } catch {
    return { refused: true };
  }
  try {
    return text === null ? {} : { value: JSON.parse(text) };
  } catch {
    return { unreadable: text ?? "" };
  }
}

/**
 * Keeps a value; tells whether the browser took it.
 * @param {string} name
 * @param {any} value
 */
export function keep(name, value) {
  try {
    localStorage.setItem(PREFIX + name, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

/**
 * Puts a text that could not be read under another name, so that nothing overwrites it.
 * @param {string} name
 * @param {string} text
 */
export function putAside(name, text) {
  try {
    localStorage.setItem(`${PREFIX}unreadable ${name}`, text);
    localStorage.removeItem(PREFIX + name);
  } catch {
    // The text stays where it was, and the page still holds it.
  }
}

/** @param {string} name */
export function forget(name) {
  try {
    localStorage.removeItem(PREFIX + name);
  } catch {
    // What was never kept is forgotten already.
  }
}

/**
 * Calls back when another window of this browser has changed what is kept.
 * @param {string} name
 * @param {() => void} changed
 */
export function onChangeElsewhere(name, changed) {
  addEventListener("storage", (event) => {
    if (event.key === PREFIX + name) changed();
  });
}
