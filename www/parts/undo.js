// An offer to take the last change back, until something else is changed.
import { onChange, tank, undo } from "../tank.js";
import { element } from "./template.js";

/** @type {HTMLElement | undefined} */
let returnTo;
/** What was done last when the offer was made. */
let turn = 0;

export function createUndo() {
  element("undo-do").addEventListener("click", () => {
    undo();
    returnTo?.focus();
  });
  onChange(() => {
    if (tank.turn !== turn) element("undo").hidden = true;
  });
}

/**
 * @param {string} says
 * @param {HTMLElement} [focusAfter]
 */
export function offerUndo(says, focusAfter) {
  returnTo = focusAfter;
  turn = tank.turn;
  element("undo").hidden = false;
  element("undo-says").textContent = says;
}
