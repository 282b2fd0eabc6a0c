/**
 * Appends what takes long to draw, one after the other: between two of them the page can answer its reader.
 * @param {HTMLElement} holder
 * @param {(() => Node)[]} makers
 */
export async function inTurn(holder, makers) {
  holder.setAttribute("aria-busy", "true");
  for (const [index, make] of makers.entries()) {
    if (index > 0) await new Promise((drawn) => setTimeout(drawn));
    // A newer answer has taken its place.
    if (index > 0 && !holder.isConnected) return;
    holder.append(make());
  }
  holder.removeAttribute("aria-busy");
}
