// The front door: loading, and what there is once it is loaded. One build for browsers, bundlers, workers and Node.
import init from "./lentic.js";

export { Advisor, builtInFiles, checkBook, checkOverlays } from "./lentic.js";

let loaded;

/** Loads the engine, once; from the file beside this module unless told otherwise. */
export function load(from = new URL("./lentic.wasm", import.meta.url)) {
  loaded ??= Promise.resolve(from)
    .then((source) => init({ module_or_path: readable(source) }))
    .then(() => undefined)
    .catch((error) => {
      loaded = undefined;
      throw error;
    });
  return loaded;
}

/** Node fetches nothing from a disk, so it reads; asked for like this, no bundler looks for its module. */
function readable(source) {
  const isOnDisk = source instanceof URL && source.protocol === "file:";
  const files = isOnDisk && globalThis.process?.getBuiltinModule?.("node:fs");
  return files ? files.readFileSync(source) : source;
}
