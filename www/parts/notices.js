// What the page must say about itself: example, storage, a newer version.
import { onNewer } from "../offline.js";
import { hasOwn, tank } from "../tank.js";
import { dayInWords } from "./day.js";
import { saveFile } from "./file.js";
import { element } from "./template.js";

/** @param {{ begin: () => void, goBack: () => void }} ways */
export function createNotices({ begin, goBack }) {
  element("begin").addEventListener("click", begin);
  element("return").addEventListener("click", goBack);
  element("save-unreadable").addEventListener("click", () =>
    saveFile("lentic-unreadable.txt", tank.unreadable),
  );
  onNewer((use) => {
    element("newer").hidden = false;
    element("use-newer").addEventListener("click", use);
  });
}

/** @param {string} on */
export function showNotices(on) {
  element("example").hidden = !tank.isExample;
  element("example-day").textContent = dayInWords(on);
  element("begin").hidden = hasOwn();
  element("return").hidden = !hasOwn();
  element("not-kept").hidden = tank.isKept;
  element("unreadable").hidden = tank.unreadable === "";
}
