// A number field with a slider below it, over the plausible values in the unit that is chosen.
import { copy } from "./template.js";
import { word } from "./words.js";

const STEPS = 400;
/** Where the plausible values begin at nothing, the low ones matter most, so they get the most room. */
const BEND = 3;

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
  const scale = () =>
    fact.scales[Math.max(0, fact.units.indexOf(unit()))] ?? { low: null, high: null };
  const bend = () => (scale().low === 0 && fact.smallest != null ? BEND : 1);

  const follow = () => {
    const { low, high } = scale();
    slider.disabled = low == null || high == null;
    if (low == null || high == null) return;
    const number = Number.parseFloat(
      field
        .text()
        .replace(/^[<>]\s*/, "")
        .replace(",", "."),
    );
    const share = (Math.min(Math.max(number, low), high) - low) / (high - low);
    slider.value = Number.isNaN(share) ? "0" : String(Math.round(share ** (1 / bend()) * STEPS));
    slider.setAttribute("aria-valuetext", field.text() || word("not set"));
  };
  slider.addEventListener("input", () => {
    const { low, high } = scale();
    if (low == null || high == null) return;
    const value = low + (Number(slider.value) / STEPS) ** bend() * (high - low);
    const figures = Math.abs(value) >= 10 ? 3 : 2;
    field.set(`${Number(value.toPrecision(figures))}${unit() ? ` ${unit()}` : ""}`);
    slider.setAttribute("aria-valuetext", field.text());
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
