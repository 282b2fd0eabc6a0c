/**
 * Lets a field keep the focus while a form's button is pressed. Otherwise what the field has to say on being
 * left would appear between press and release, and move the button from under the finger.
 */
export function steadyButtons() {
  addEventListener("mousedown", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
    if (target.closest?.("form button[type=submit]")) event.preventDefault();
  });
}

/**
 * Leads to a field that is to be mended. One that has kept the focus under a press may have been scrolled away, and
 * the browser does not bring it back.
 * @param {{ focus: () => void }} field
 */
export function lead(field) {
  field.focus();
  const held = document.activeElement;
  (held?.closest(".field") ?? held)?.scrollIntoView({ block: "nearest" });
}
