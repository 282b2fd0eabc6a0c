// The one module that speaks to the engine; everything else asks this one.
import init from "./pkg/lentic.js";

/** @type {Promise<unknown> | undefined} */
let loading;

/** Loads the engine, once, from beside this module. */
export async function load() {
  loading ??= init({ module_or_path: new URL("./pkg/lentic_bg.wasm", import.meta.url) });
  await loading;
}
