import { link } from "../route.js";
import { eventFor, profile } from "../vocabulary.js";

/**
 * The address of the question about a fact: in the description of the tank, or in the form of an event.
 * @param {string} fact
 */
export function whereAsked(fact) {
  const isProfile = profile().some(({ facts }) => facts.some(({ name }) => name === fact));
  if (isProfile) return link("tank", fact);
  const event = eventFor(fact);
  return event ? link("write", event.name) : "";
}
