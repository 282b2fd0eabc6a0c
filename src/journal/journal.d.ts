/** What a keeper recorded about one tank, in the format `lentic-journal/1` (see journal.schema.json). */
export interface Journal {
  format: "lentic-journal/1";
  /** What the keeper calls the tank. */
  name?: string;
  /** The facts about the tank as it began. */
  tank: JournalValues;
  /** What happened, in any order. */
  events: JournalEvent[];
}

/** A quantity as it was typed, with its unit, or a word; a bare number has no unit, which will be asked for. */
export type JournalValue = string | number | boolean;

/** Names of facts, each with what was written for it. */
export type JournalValues = Record<string, JournalValue>;

/** Some plants of one species. */
export interface JournalPlant {
  species: string;
  origin?: "in-vitro" | "potted" | "submerged";
  count?: number;
}

/** Some animals of one species. */
export interface JournalAnimal {
  species: string;
  count: number;
}

/** Something that happened on a day. */
export type JournalEvent = {
  /** The day, as in 2026-09-01. */
  on: string;
  /** The time of the day, as in 19:30. */
  at?: string;
} & (
  | ({ note?: string } & (
      | { event: "filled" | "drained" }
      | { event: "read" | "set"; values: JournalValues }
      | { event: "changed-water"; share: JournalValue; amount?: never; values?: JournalValues }
      | { event: "changed-water"; amount: JournalValue; share?: never; values?: JournalValues }
      | { event: "topped-up"; amount: JournalValue }
      | { event: "dosed"; what: string; amount: JournalValue }
      | { event: "planted" | "removed"; plants: JournalPlant[] }
      | { event: "added" | "lost"; animals: JournalAnimal[] }
      | { event: "saw"; signs: string[] }
    ))
  | { event: "note"; note: string }
);

/** A journal as an object or as JSON text, which is checked when it is handed over, and its mistakes told. */
export type JournalInput = string | Journal;
