// The address of what is shown: `#view` or `#view/item`.
const views = [
  "now",
  "may",
  "coming",
  "weeks",
  "ways",
  "whatif",
  "map",
  "life",
  "amounts",
  "rules",
  "workshop",
  "tank",
  "write",
];

/** The view that stands for somebody's case, whose data is the rest of the address. */
export const CASE = "case";

/** The view and the item in the address. */
export function address() {
  const [view, ...rest] = location.hash.slice(1).split("/");
  const item = decoded(rest.join("/"));
  if (view === CASE) return { view: "now", item: "", data: item };
  return { view: views.includes(view) ? view : "now", item, data: "" };
}

/** @param {string} text */
function decoded(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return "";
  }
}

/** Whether what is shown stands inside another page, whose address is not ours to change. */
let isEmbedded = false;
/** The page that the links of an embedded advisor lead to. */
let page = "index.html";

/** @param {string} whole the page beside the element, in the language of its words */
export function embed(whole) {
  isEmbedded = true;
  page = whole;
}

/**
 * An address.
 * @param {string} view
 * @param {string} [item]
 */
export function link(view, item) {
  const hash = `#${view}${item ? `/${encodeURIComponent(item)}` : ""}`;
  return isEmbedded ? new URL(`${page}${hash}`, import.meta.url).href : hash;
}

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
  if (isEmbedded) return;
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
