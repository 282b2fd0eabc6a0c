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

let noted = () => {};

/**
 * Calls back when the address was changed without a move.
 * @param {() => void} told
 */
export function onNote(told) {
  noted = told;
}

/**
 * Puts what the keeper opens or closes into the address, so that the back button undoes the opening.
 * @param {HTMLDetailsElement} details
 * @param {string} view
 * @param {string} item
 */
export function noteOpening(details, view, item) {
  details.querySelector("summary")?.addEventListener("click", () => {
    const at = address();
    const isHere = at.view === view && at.item === item;
    // The click comes before the opening.
    if (!details.open && !isHere) history.pushState(null, "", link(view, item));
    if (details.open && isHere) history.replaceState(null, "", link(view));
    noted();
  });
}

/** @param {() => void} moved */
export const onMove = (moved) => addEventListener("hashchange", moved);
