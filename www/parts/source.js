import { copy, fill } from "./template.js";
import { word } from "./words.js";

/**
 * A source, the place in it, and what stands behind it.
 * @param {import("../engine.js").SourceRef} source
 */
export function sourceItem(source) {
  const item = copy("source");
  fill(item, {
    words: source.words,
    place: source.place && `, ${source.place}`,
    support: `(${word(`support ${source.support}`)}${source.read && `, read ${source.read}`})`,
  });
  return item;
}
