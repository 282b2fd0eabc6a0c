// The address of what is shown: `#view` or `#view/item`.
const views = ["now", "may", "amounts", "rules", "tank", "write"];

/** The view and the item in the address. */
export function address() {
  const [view, ...rest] = location.hash.slice(1).split("/");
  return { view: views.includes(view) ? view : "now", item: decoded(rest.join("/")) };
}

/** @param {string} text */
function decoded(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return "";
  }
}

/**
 * An address.
 * @param {string} view
 * @param {string} [item]
 */
export const link = (view, item) => `#${view}${item ? `/${encodeURIComponent(item)}` : ""}`;

/**
 * Puts an opened or closed disclosure into the address, so that the back button undoes the opening.
 * @param {string} view
 * @param {string} item
 * @param {boolean} isOpen
 */
export function note(view, item, isOpen) {
  const at = address();
  const isHere = at.view === view && at.item === item;
  if (isOpen && !isHere) history.pushState(null, "", link(view, item));
  if (!isOpen && isHere) history.replaceState(null, "", link(view));
}

/** @param {() => void} moved */
export const onMove = (moved) => addEventListener("hashchange", moved);
