/** Keeps the page's files on the device, so that it opens without a network. */
export async function keepOffline() {
  if (!("serviceWorker" in navigator) || !location.protocol.startsWith("http")) return;
  await navigator.serviceWorker.register(workerUrl(), { type: "module", updateViaCache: "none" });
}

// Registering a worker is the page's only step from text to script, so it has the only policy.
function workerUrl() {
  const { trustedTypes } = /** @type {any} */ (globalThis);
  if (!trustedTypes) return "sw.js";
  return trustedTypes
    .createPolicy("lentic-worker", { createScriptURL: () => "sw.js" })
    .createScriptURL("");
}
