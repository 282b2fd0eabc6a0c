// What a program in TypeScript writes: it must pass the strictest checks, and what is wrong must not.
import type {
  Advice,
  AdvicePoint,
  BookFile,
  Diagnostic,
  Evidence,
  Journal,
  JournalEvent,
  JournalMistake,
} from "lentic";
import { Advisor, checkOverlays, load } from "lentic";
import type { LenticAdvisor } from "lentic/element";
import { bytes } from "lentic/inline";

const journal: Journal = {
  format: "lentic-journal/1",
  name: "Kitchen window",
  tank: { start: "dark", "tap-nitrate": "5 mg/L NO3" },
  events: [
    { on: "2026-09-01", event: "filled" },
    { on: "2026-09-14", at: "19:30", event: "read", values: { nitrite: "1 mg/L NO2", ph: 6.8 } },
    { on: "2026-09-15", event: "changed-water", share: "50 %" },
    { on: "2026-09-16", event: "planted", plants: [{ species: "java-fern", origin: "potted" }] },
    { on: "2026-09-17", event: "note", note: "The filter hums." },
  ],
};

// @ts-expect-error: a journal says its format.
export const nameless: Journal = { tank: {}, events: [] };
// @ts-expect-error: animals have a number.
export const uncounted: JournalEvent = { on: "", event: "added", animals: [{ species: "a" }] };
// @ts-expect-error: there is no such event.
export const unknown: JournalEvent = { on: "2026-09-01", event: "flooded" };

/** What is handed over is a journal, or its text; a misspelt field is neither. */
export function wrong(advisor: Advisor): void {
  const { events } = journal;
  // @ts-expect-error: it is called `tank`.
  advisor.advise({ format: "lentic-journal/1", tnak: {}, events }, "2026-09-20");
  // @ts-expect-error: it is called `nickname` nowhere.
  advisor.changes({ ...journal, format: "lentic-journal/1", nickname: "Kitchen" }, "2026-09-20");
  advisor.advise(
    // @ts-expect-error: a note is a text.
    { format: "lentic-journal/1", tank: {}, events: [{ on: "", event: "note", noet: "" }] },
    "2026-09-20",
  );
  // @ts-expect-error: another format is no journal.
  advisor.nextTests({ format: "lentic-journal/2", tank: {}, events }, "2026-09-20");
  advisor.advise(JSON.stringify(journal), "2026-09-20");
}

export async function ask(): Promise<string[]> {
  await load(bytes);
  const overlay: BookFile = { name: "club.rules", text: "overlay club" };
  const wrong: Diagnostic[] = checkOverlays([overlay]).mistakes;
  const advisor = new Advisor();
  const { advice, mistakes }: { advice: Advice | null; mistakes: JournalMistake[] } =
    advisor.advise(journal, "2026-09-20");
  const points: AdvicePoint[] = advice?.advice ?? [];
  const evidence: Evidence[] = points.flatMap((point) => point.evidence);
  const margins = evidence.map(({ margin }) => margin?.shown ?? "none");
  return [
    ...margins,
    ...mistakes.map(({ place }) => place),
    ...wrong.map(({ line }) => String(line)),
  ];
}

export function watch(advisor: LenticAdvisor): void {
  advisor.journal = journal;
  advisor.addEventListener("lentic-advice", ({ detail }) => detail.advice?.stage.length);
}
