import { isOneFile, trusted } from "./files.js";

/** @type {(use: () => void) => void} */
let tellNewer = () => {};

/**
 * Calls back when a newer version of the page is ready to take over.
 * @param {(use: () => void) => void} told
 */
export function onNewer(told) {
  tellNewer = told;
}

/** Keeps the page's files on the device, so that it opens without a network. */
export async function keepOffline() {
  if (!("serviceWorker" in navigator) || !location.protocol.startsWith("http") || isOneFile())
    return;
  const options = /** @type {RegistrationOptions} */ ({ type: "module", updateViaCache: "none" });
  const registration = await navigator.serviceWorker.register(trusted("sw.js"), options);
  offer(registration);
  registration.addEventListener("updatefound", () => {
    registration.installing?.addEventListener("statechange", () => offer(registration));
  });
}

/** @param {ServiceWorkerRegistration} registration */
function offer({ waiting }) {
  // The very first version has nobody to take over from.
  if (!waiting || !navigator.serviceWorker.controller) return;
  tellNewer(() => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload());
    waiting.postMessage("activate");
  });
}
