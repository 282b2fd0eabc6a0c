// Every part of the page in every state, filled by the engine from the journals of the stories.
import * as engine from "/engine.js";
import { foretell } from "/forecaster.js";
import { adviceItem } from "/parts/advice.js";
import { amountField } from "/parts/amount-field.js";
import { assumedBlock } from "/parts/assumed.js";
import { chanceFigure } from "/parts/chance.js";
import { curveFigure } from "/parts/curve.js";
import { differenceBlock } from "/parts/difference.js";
import { entryItem } from "/parts/entry.js";
import { eventPart } from "/parts/event-field.js";
import { evidenceItem } from "/parts/evidence.js";
import { fieldFor } from "/parts/field.js";
import { fitBlock } from "/parts/fit.js";
import { gateItem } from "/parts/gate.js";
import { mark } from "/parts/mark.js";
import { planItem } from "/parts/plan-item.js";
import { questionItem } from "/parts/question.js";
import { readingMap } from "/parts/reading-map.js";
import { resultBlock } from "/parts/result.js";
import { ruleItem, showVerdict } from "/parts/rule.js";
import { scaleField } from "/parts/scale-field.js";
import { setAsideItem } from "/parts/set-aside.js";
import { sourceItem } from "/parts/source.js";
import { element, made } from "/parts/template.js";
import { unreadableItem } from "/parts/unreadable.js";
import { wantedItem } from "/parts/wanted.js";
import { withdrawnItem } from "/parts/withdrawn.js";
import { tank } from "/tank.js";
import { learn, theBook, theRules, valuesOf } from "/vocabulary.js";

const fetched = async (name) => (await fetch(name)).json();
const main = document.querySelector("main");
const notices = document.querySelector(".notices");
const dialogs = [...document.querySelectorAll("dialog")];

await engine.load("en");
learn(engine.describe());
const stories = (await fetched("/stories.json")).map(({ text, on }) => {
  const answer = engine.adviseWhole(text, on);
  return { journal: parsed(text), isDated: true, on, ...answer };
});

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return { events: [] };
  }
}

main.className = "gallery";
main.id = "answer";
main.replaceChildren();
main.before(notices);

/** The looks that the page gives what stands in a list. */
const lists = { ol: "plain-list advices", ul: "plain-list evidence" };

/** A section of one part, each of its states under a heading that names it. */
function show(part, states, list = "div") {
  const section = document.createElement("section");
  section.id = part.replaceAll(" ", "-");
  section.append(made("h2", part));
  for (const [state, nodes] of states) {
    const holder = document.createElement(list);
    holder.className = lists[list] ?? "";
    holder.append(...[nodes].flat());
    section.append(made("h3", state), holder);
  }
  if (states.length === 0) throw new Error(`no story shows ${part}`);
  main.append(section);
}

/** One of each kind among what the stories hold, by what it is called. */
function oneOfEach(all, kind) {
  const found = new Map();
  for (const one of all) if (kind(one) && !found.has(kind(one))) found.set(kind(one), one);
  return [...found].sort(([a], [b]) => a.localeCompare(b));
}

const each = (of) =>
  stories.flatMap((story) => (story.advice ? of(story.advice) : []).map((one) => ({ one, story })));
const opened = (node) => {
  node.open = true;
  node.dispatchEvent(new Event("toggle"));
  return node;
};
const unfolded = (node) => {
  for (const fold of node.querySelectorAll("details")) opened(fold);
  return node;
};

// What the page says about itself.
for (const notice of notices.querySelectorAll("[hidden]")) notice.hidden = false;
element("example-day").textContent = "25 September 2026";
element("undo-says").textContent = "The water change is out of the journal.";

// Marks, and what stands beside them.
const urgencies = ["danger", "today", "soon", "note"];
const verdicts = ["holds", "fails", "open", "yes", "no", "not-yet", "cannot-tell"];
show(
  "marks",
  [...urgencies, ...verdicts].map((name) => [name, mark(name)]),
);

const told = each(({ advice }) => advice);
const kindOf = ({ one }) =>
  [
    one.urgency,
    one.certain ? "certain" : "to be ruled out",
    one.amount ? "with an amount" : "",
    one.cautions.length > 0 ? "with cautions" : "",
  ]
    .filter(Boolean)
    .join(", ");
show(
  "advice",
  oneOfEach(told, kindOf).map(([state, { one, story }]) => [state, adviceItem(one, story)]),
  "ol",
);
const explained = told.find(({ one }) => one.certain && one.amount) ?? told[0];
show("reasons", [["opened", unfolded(adviceItem(explained.one, explained.story))]], "ol");

const conditions = told.flatMap(({ one }) => one.evidence);
const inside = (evidence) => [evidence, ...evidence.parts.flatMap(inside)];
show(
  "evidence",
  oneOfEach(
    conditions.flatMap(inside).filter(({ form }) => form),
    ({ verdict, form, threshold }) => `${verdict}, ${form}${threshold ? ", with a threshold" : ""}`,
  ).map(([state, evidence]) => [state, evidenceItem(evidence)]),
  "ul",
);
show(
  "sources",
  oneOfEach(
    told.flatMap(({ one }) => one.sources),
    ({ support }) => support,
  ).map(([state, source]) => [state, sourceItem(source)]),
  "ul",
);
show(
  "set aside",
  each(({ set_aside }) => set_aside)
    .slice(0, 2)
    .map(({ one }, index) => [`beaten ${index + 1}`, setAsideItem(one)]),
  "ul",
);
show(
  "questions",
  each(({ questions }) => questions)
    .slice(0, 3)
    .map(({ one }, index) => [`asked ${index + 1}`, questionItem(one)]),
  "ul",
);
show(
  "what to find out",
  oneOfEach(
    each(({ wanted }) => wanted),
    ({ one }) => theBook().facts.find(({ name }) => name === one.fact)?.kind ?? "elsewhere",
  ).map(([state, { one, story }]) => [state, wantedItem(one, story)]),
  "ul",
);
show(
  "entries that cannot be read",
  stories
    .filter(({ journal }) => Array.isArray(journal.events))
    .flatMap(({ mistakes, journal }) =>
      mistakes.slice(0, 1).map((mistake) => ({ mistake, journal })),
    )
    .slice(0, 6)
    .map(({ mistake, journal }) => {
      tank.journal = journal;
      return [mistake.place, unreadableItem(mistake)];
    }),
  "ul",
);

const gates = oneOfEach(
  each(({ gates }) => gates),
  ({ one }) => one.verdict,
);
show(
  "gates",
  gates.map(([state, { one, story }]) => [state, unfolded(opened(gateItem(one, story)))]),
);

// Fields: empty, filled, doubtful, wrong.
const facts = theBook().facts.filter(({ ask }) => ask);
const filled = (fact, text) => {
  const field = fieldFor(fact);
  if (text !== undefined) field.set(text);
  field.isReady();
  return field.node;
};
const number = valuesOf("read").find(({ units }) => units.length > 1);
const firstOf = (kind) => facts.find((fact) => fact.kind === kind);
show("fields", [
  ["a number", filled(number)],
  ["a number, filled", filled(number, `0.25 ${number.units[0]}`)],
  ["below the first mark", filled(number, `< 0.05 ${number.units[0]}`)],
  ["doubtful", filled(number, `9999 ${number.units[0]}`)],
  ["no number", filled(number, "a little")],
  ...["truth", "choice", "several", "date"].map((kind) => [kind, filled(firstOf(kind))]),
  ["a slider", scaled(number)],
]);

function scaled(fact) {
  const field = fieldFor(fact, fact.label);
  const slider = scaleField(fact, field);
  const both = document.createElement("div");
  both.append(field.node, ...(slider && slider.node !== field.node ? [slider.node ?? slider] : []));
  return both;
}
const events = theBook().events.flatMap(({ fields }) => fields);
show(
  "fields of events",
  oneOfEach(events, ({ holds }) => holds).map(([state, field]) => [state, eventPart(field).node]),
);
const entries = stories.flatMap(({ advice, journal }) => (advice ? journal.events : []));
show(
  "entries",
  oneOfEach(entries, ({ event }) => event).map(([state, entry]) => {
    const day = document.createElement("section");
    const list = document.createElement("ul");
    day.className = "journal-day";
    list.append(entryItem(entry, 0, () => {}));
    day.append(list);
    return [state, day];
  }),
);

// Amounts.
const functions = theBook().functions;
const argued = functions.flatMap((one) => one.arguments);
show(
  "arguments of amounts",
  oneOfEach(argued, ({ is_choice, options }) =>
    is_choice ? "a choice" : options.length > 0 ? "a word or a figure" : "a figure",
  ).map(([state, argument]) => [state, amountField(argument).node]),
);
const reckoned = (name, values) => engine.reckon(name, values).reckoned;
show("amounts", [
  [
    "within its range",
    resultBlock(reckoned("ammonium-chloride-for", { "wanted-rise": "2 mg/L N", water: "80 L" })),
  ],
  [
    "outside its range",
    resultBlock(
      reckoned("co2-from-ph-kh", {
        ph: "9.5",
        "carbonate-hardness": "30 dH",
        temperature: "25 °C",
      }),
    ),
  ],
]);

// The rule book.
const [story] = stories.filter(({ advice }) => advice);
const standings = new Map(
  engine.standings(story.journal, story.on).standings.map(({ rule, standing }) => [rule, standing]),
);
show(
  "rules",
  oneOfEach(theRules(), ({ rule }) => standings.get(rule)).map(([state, rule]) => {
    const item = opened(ruleItem(rule, () => story));
    showVerdict(item, state);
    return [state, item];
  }),
);
const silent = theRules().find(
  ({ rule }) => engine.whyNot(story.journal, story.on, rule)?.changes.length > 0,
);
show("why not", [[silent.rule, unfolded(opened(ruleItem(silent, () => story)))]]);

// What would be different, and what a club changed.
const [one, other] = stories.filter(({ advice }) => advice?.advice.length > 3);
show("a difference", [
  ["between two tanks", unfolded(differenceBlock(engine.difference(one, other).difference))],
  ["none", differenceBlock(engine.difference(one, one).difference)],
]);
const danger = theRules().find(({ urgency }) => urgency === "danger");
const overlay = `overlay club\n  title  Our rules\n\nwithdraw ${danger.rule}\n  reason  We have our own.\n`;
const club = engine.advisorWith([{ name: "club.rules", text: overlay }]);
show(
  "withdrawn",
  club
    .advise(story.journal, story.on)
    .advice.withdrawn.map((gone, index) => [`withdrawn ${index + 1}`, withdrawnItem(gone)]),
  "ul",
);

// Plants and animals.
const kinds = [...kindsOf("plants").slice(0, 1), ...kindsOf("animals").slice(0, 2)];
const wishes = Object.fromEntries(kinds.map(({ name }) => [name, 3]));
show("what fits", [
  ["with wishes", unfolded(fitBlock(engine.fit(story.journal, story.on, wishes).fit))],
]);

/** The kinds that an event can name. */
function kindsOf(holds) {
  const field = events.find((one) => one.holds === holds);
  return theBook().facts.find(({ name }) => name === field.facts[0]).options;
}

// What is coming.
const asked = { journal: await fetched("/journals/course-dark.json"), on: "2026-03-05" };
const { found: forecast } = await foretell({ what: "forecast", ...asked });
const times = {
  days: forecast.days,
  now: forecast.days.indexOf(forecast.date),
  likely: 25,
  words: { now: "the day", likely: "likely done" },
  deeds: [
    { day: 3, planned: false, says: "Water changed" },
    { day: 20, planned: true, says: "Planting" },
  ],
};
show("pictures of the water", [
  ...forecast.curves.map((curve) => [curve.label, curveFigure(curve, times)]),
  ["the chance", chanceFigure(forecast.done, times)],
  ["taken for granted", assumedBlock(forecast.assumed)],
]);
const { found: plan } = await foretell({ what: "plan", ...asked });
show(
  "days to come",
  oneOfEach(plan.items, ({ urgency, sure }) => `${urgency}, ${sure ? "sure" : "if so"}`).map(
    ([state, item]) => [state, unfolded(planItem(item, () => true))],
  ),
  "ul",
);
const axis = (label, here) => ({ label, values: ["0", "1", "2", "3"], here, shown: "1" });
const field = [verdicts.slice(0, 4), verdicts.slice(3), verdicts.slice(2, 6), verdicts.slice(1, 5)];
show("a map", [
  ["with the tank", readingMap(field, axis("Across", 1), axis("Up", 2), "Anything", (is) => is)],
  ["without it", readingMap(field, axis("Across", -1), axis("Up", -1), "Anything", (is) => is)],
]);

for (const dialog of dialogs) {
  dialog.show();
  show(`dialog ${dialog.id}`, [["open", dialog]]);
}
document.body.dataset.view = "parts";
document.body.dataset.ready = "";
