import { element, piece } from "./template.js";

/**
 * Asks in a dialog; the answer is the value of the button pressed, empty if it was left.
 * @param {string} id
 * @param {Record<string, string>} texts
 * @returns {Promise<string>}
 */
export function asked(id, texts) {
  const dialog = /** @type {HTMLDialogElement} */ (element(id));
  for (const [name, text] of Object.entries(texts)) piece(dialog, name).textContent = text;
  dialog.returnValue = "";
  dialog.showModal();
  return new Promise((answer) => {
    dialog.addEventListener("close", () => answer(dialog.returnValue), { once: true });
  });
}
