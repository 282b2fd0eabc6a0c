import type { Advice, Journal } from "./lentic.js";

/** The advisor as an element; defined as `lentic-advisor` once this module is loaded. */
export declare class LenticAdvisor extends HTMLElement {
  /** The journal that is advised on; a copy. */
  journal: Journal;
  /** What is advised now; null until the engine is loaded, or while the journal holds mistakes. */
  readonly advice: Advice | null;
}

declare global {
  interface HTMLElementTagNameMap {
    "lentic-advisor": LenticAdvisor;
  }
  interface HTMLElementEventMap {
    "lentic-advice": CustomEvent<{ journal: Journal; advice: Advice | null }>;
  }
}
