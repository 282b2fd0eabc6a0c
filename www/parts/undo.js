// An offer to take the last change back, until something else is changed.
import { onChange, undo } from "../tank.js";
import { element } from "./template.js";

/** @type {HTMLElement | undefined} */
let returnTo;

export function createUndo() {
  element("undo-do").addEventListener("click", () => {
    undo();
    returnTo?.focus();
  });
  onChange(() => {
    element("undo").hidden = true;
  });
}

/**
 * @param {string} says
 * @param {HTMLElement} [focusAfter]
 */
export function offerUndo(says, focusAfter) {
  returnTo = focusAfter;
  element("undo").hidden = false;
  element("undo-says").textContent = says;
}
