import { dayInWords } from "./day.js";
import { entryAt, linkTo } from "./place.js";
import { sentence } from "./sentence.js";
import { copy, piece } from "./template.js";
import { word } from "./words.js";

/**
 * A mistake in the journal that stands in the way of advice.
 * @param {import("../engine.js").JournalMistake} mistake
 */
export function unreadableItem(mistake) {
  const item = copy("unreadable");
  const entry = entryAt(mistake.place);
  const text = [mistake.message, mistake.hint].filter(Boolean).join("; ");
  const whole = entry
    ? word("in entry", { day: dayInWords(entry.on), text })
    : word("in description", { text });
  piece(item, "text").append(...sentence(whole));
  piece(item, "link").href = linkTo(mistake.place);
  return item;
}
