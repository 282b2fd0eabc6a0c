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
