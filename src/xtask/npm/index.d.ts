export type * from "./lentic.js";
export { Advisor, builtInFiles, checkBook, checkOverlays } from "./lentic.js";

/** What the engine can be made from: an address, an answer to a request, bytes, or a compiled module. */
export type EngineSource = string | URL | Request | Response | BufferSource | WebAssembly.Module;

/**
 * Loads the engine, once; from the file beside this module unless told otherwise. Until then nothing else may be
 * called. A load that failed can be tried again.
 */
export function load(from?: EngineSource | Promise<EngineSource>): Promise<void>;
