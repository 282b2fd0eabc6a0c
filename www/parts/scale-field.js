// A number field with a slider below it, over the plausible values in the unit that is chosen.
import { asWritten } from "./locale.js";
import { scaleOf } from "./scale.js";
import { copy } from "./template.js";
import { word } from "./words.js";

const STEPS = 400;

/**
 * @param {import("../engine.js").FactInfo} fact
 * @param {import("./field.js").Field} field
 * @returns {import("./field.js").Field}
 */
export function scaleField(fact, field) {
  const slider = /** @type {HTMLInputElement} */ (copy("scale"));
  slider.max = String(STEPS);
  slider.setAttribute("aria-label", word("slider", { label: fact.label }));
  field.node.querySelector(".entry")?.after(slider);
  const select = /** @type {HTMLSelectElement | null} */ (field.node.querySelector("select"));
  const unit = () => select?.value ?? fact.units[0] ?? "";
  const scale = () => scaleOf(fact, unit());

  const follow = () => {
    const along = scale();
    slider.disabled = !along;
    if (!along) return;
    const number = Number.parseFloat(
      field
        .text()
        .replace(/^[<>]\s*/, "")
        .replace(",", "."),
    );
    const share = along.shareOf(number);
    slider.value = Number.isNaN(share) ? "0" : String(Math.round(share * STEPS));
    slider.setAttribute("aria-valuetext", asWritten(field.text()) || word("not set"));
  };
  slider.addEventListener("input", () => {
    const along = scale();
    if (!along) return;
    field.set(along.at(Number(slider.value) / STEPS));
    slider.setAttribute("aria-valuetext", asWritten(field.text()));
  });
  field.node.addEventListener("input", (event) => {
    if (event.target !== slider) follow();
  });
  const set = (/** @type {string} */ text) => {
    field.set(text);
    follow();
  };
  return { ...field, set };
}
