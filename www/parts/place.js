// Where a mistake or a question stands in the journal that is looked at.
import { link } from "../route.js";
import { tank } from "../tank.js";

/** @param {string} place as in `events[3].values.name` */
export function indexAt(place) {
  const found = /^events\[(\d+)\]/.exec(place);
  return found ? Number(found[1]) : undefined;
}

/** @param {string} place */
export function entryAt(place) {
  const index = indexAt(place);
  return index === undefined ? undefined : tank.journal.events[index];
}

/** @param {string} place */
export function linkTo(place) {
  const index = indexAt(place);
  return index === undefined ? link("tank") : link("write", String(index));
}
