import { load } from "./engine.js";
import { keepOffline } from "./offline.js";

const state = /** @type {HTMLElement} */ (document.getElementById("engine"));

try {
  await load();
  state.textContent = "The engine is ready.";
} catch (error) {
  state.textContent = "The engine could not start in this browser.";
  console.error(error);
}
await keepOffline();
