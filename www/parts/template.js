// Markup that repeats is copied from templates; text is only ever written as text.
let count = 0;

/** Where the markup is: the page itself, unless it stands inside another. @type {Document} */
let markup = document;

/** @param {Document} other */
export function useMarkup(other) {
  markup = other;
}

/**
 * A fresh copy of what a template holds.
 * @param {string} name
 * @returns {HTMLElement}
 */
export function copy(name) {
  const template = /** @type {HTMLTemplateElement} */ (element(`t-${name}`));
  const inside = /** @type {HTMLElement} */ (template.content.firstElementChild);
  const node = document.importNode(inside, true);
  node.dataset.copy = name;
  return node;
}

/**
 * A piece by its name; those of copies that were put inside do not count.
 * @param {HTMLElement} root
 * @param {string} name
 * @returns {any}
 */
export function piece(root, name) {
  const own = root.closest("[data-copy]");
  const found = [...root.querySelectorAll(`[data-piece="${name}"]`)].find(
    (node) => node.closest("[data-copy]") === own,
  );
  if (!found) throw new Error(`the markup lacks the piece ${name}`);
  return found;
}

/**
 * Writes texts into pieces. A piece without a text goes, and so does an empty `within` around it.
 * @param {HTMLElement} root
 * @param {Record<string, string | null | undefined>} texts
 */
export function fill(root, texts) {
  for (const [name, text] of Object.entries(texts)) {
    if (text) piece(root, name).textContent = text;
    else piece(root, name).remove();
  }
}

/**
 * Puts nodes into a piece. Without any, `around` (or the piece) goes.
 * @param {HTMLElement} root
 * @param {string} name
 * @param {Node[]} nodes
 * @param {string} [around]
 */
export function place(root, name, nodes, around = name) {
  if (nodes.length > 0) piece(root, name).append(...nodes);
  else piece(root, around).remove();
}

/**
 * An element of the page by its id.
 * @param {string} id
 * @returns {any}
 */
export function element(id) {
  const found = markup.getElementById(id);
  if (!found) throw new Error(`the markup lacks #${id}`);
  return found;
}

/**
 * An element with a text in it.
 * @param {string} tag
 * @param {string} text
 */
export function made(tag, text) {
  const node = document.createElement(tag);
  node.textContent = text;
  return node;
}

/**
 * An option of a select.
 * @param {string} text
 * @param {string} value
 */
export const choice = (text, value) => new Option(text, value);

/** An id that nothing else has. */
export const freshId = () => `id-${++count}`;

/**
 * Ties a label to its control.
 * @param {HTMLElement} label
 * @param {HTMLElement} control
 */
export function tie(label, control) {
  control.id = freshId();
  label.setAttribute("for", control.id);
}
