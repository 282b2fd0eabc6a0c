// What the page must say about itself: example, somebody's case, storage, a newer version.
import { onNewer } from "../offline.js";
import { isKnown, tank } from "../tank.js";
import { dayInWords } from "./day.js";
import { saveFile } from "./file.js";
import { element } from "./template.js";

/** @param {{ begin: () => void, goBack: () => void, keepCase: () => void, leaveCase: () => void }} ways */
export function createNotices({ begin, goBack, keepCase, leaveCase }) {
  element("begin").addEventListener("click", begin);
  element("return").addEventListener("click", goBack);
  element("keep-case").addEventListener("click", keepCase);
  element("leave-case").addEventListener("click", leaveCase);
  element("save-unreadable").addEventListener("click", () =>
    saveFile("lentic-unreadable.txt", tank.unreadable, "text/plain"),
  );
  onNewer((use) => {
    element("newer").hidden = false;
    element("use-newer").addEventListener("click", use);
  });
}

/** @param {string} on */
export function showNotices(on) {
  const hasOwn = tank.all.some(isKnown);
  element("about").hidden = tank.kind !== "example";
  element("example").hidden = tank.kind !== "example";
  element("case").hidden = tank.kind !== "case";
  element("example-day").textContent = dayInWords(on);
  element("begin").hidden = hasOwn;
  element("return").hidden = !hasOwn;
  element("not-kept").hidden = tank.trouble !== "refused";
  element("full").hidden = tank.trouble !== "full";
  element("newer-data").hidden = tank.trouble !== "newer";
  element("unreadable").hidden = tank.unreadable === "";
}
