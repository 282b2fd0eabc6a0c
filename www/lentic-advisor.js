// <lentic-advisor>: the advisor inside another page, from one script tag. What it holds belongs to that page's own
// document and is kept nowhere; several stand side by side, each with its own rules.
import { advise, adviseWhole, advisorWith, ask, describe, loadEngine, wordsOf } from "./engine.js";
import { addressOf } from "./files.js";
import { markupAt } from "./markup.js";
import { adviceItem } from "./parts/advice.js";
import { part, partGroup } from "./parts/arrange.js";
import { dayInWords, present } from "./parts/day.js";
import { entryItem } from "./parts/entry.js";
import { eventPart, given } from "./parts/event-field.js";
import { fieldFor } from "./parts/field.js";
import { gateItem } from "./parts/gate.js";
import { useLocale } from "./parts/locale.js";
import { sentence } from "./parts/sentence.js";
import { choice, copy, fill, made, piece, useMarkup } from "./parts/template.js";
import { counted, word } from "./parts/words.js";
import { embed } from "./route.js";
import { emptyJournal } from "./tank.js";
import { preferUnits } from "./units.js";
import { eventOf, learn, profile, theBook, valuesOf } from "./vocabulary.js";

const SHEETS = ["page", "control", "mark", "advice", "evidence", "may", "field", "embed"];
/** What may run a part of the advisor; before each, the parts are told whose they are. */
const EVENTS = ["click", "change", "input", "submit", "toggle"];

/** The languages of the words, each with the page that holds them; the first is spoken where none is asked for. */
const LANGUAGES = new Map([
  ["en", "index.html"],
  ["de", "de.html"],
]);
const [USUAL] = LANGUAGES.keys();

/** @type {Promise<CSSStyleSheet[]> | undefined} */
let sheets;
/** @type {Map<string, Promise<Document>>} */
const markups = new Map();

/**
 * What all advisors of a page share, and what those of one language share.
 * @param {string} language
 */
async function load(language) {
  sheets ??= Promise.all(SHEETS.map(sheet));
  const found = markups.get(language) ?? markupAt(addressOf(LANGUAGES.get(language) ?? ""));
  markups.set(language, found);
  const all = await Promise.all([found, sheets, wordsOf(language), loadEngine()]);
  return { markup: all[0], sheets: all[1], words: all[2] };
}

/** @param {string} name */
async function sheet(name) {
  const answer = await fetch(addressOf(`style/${name}.css`));
  const made = new CSSStyleSheet();
  made.replaceSync(await answer.text());
  return made;
}

export class LenticAdvisor extends HTMLElement {
  static observedAttributes = ["overlay", "units", "language", "on"];

  /** @type {import("./tank.js").Journal} */
  #journal = emptyJournal();
  /** @type {import("./engine.js").AdvisorOfBook | undefined} */
  #advisor;
  /** @type {import("./engine.js").Description | undefined} */
  #description;
  /** @type {Document | undefined} */
  #markup;
  /** @type {HTMLElement | undefined} */
  #body;
  #root = this.attachShadow({ mode: "open" });
  #turn = 0;

  constructor() {
    super();
    for (const event of EVENTS) {
      this.#root.addEventListener(event, () => this.#enter(), { capture: true });
    }
  }

  connectedCallback() {
    this.#begin();
  }

  attributeChangedCallback() {
    if (this.isConnected) this.#begin();
  }

  /** The journal that is advised on, in the format of `journal.schema.json`. */
  get journal() {
    return structuredClone(this.#journal);
  }

  set journal(journal) {
    this.#journal = structuredClone(journal);
    this.#tell();
  }

  /** What is advised now, as plain data. */
  get advice() {
    if (!this.#advisor) return null;
    this.#enter();
    return adviseWhole(this.#journal, this.#on).advice;
  }

  /** The language of the words, and how days are written in it. */
  get #language() {
    const [language, region] = (this.getAttribute("language") ?? "").split("-");
    if (!LANGUAGES.has(language)) return { words: USUAL, locale: "" };
    return {
      words: language,
      locale: /^[a-z]{2}$/i.exec(region ?? "") ? `${language}-${region}` : language,
    };
  }

  get #on() {
    return this.getAttribute("on") || present();
  }

  /** Makes the parts work for this advisor and no other. */
  #enter() {
    if (!this.#advisor || !this.#description || !this.#markup) return;
    useMarkup(this.#markup);
    const { words, locale } = this.#language;
    useLocale(locale);
    preferUnits((this.getAttribute("units") ?? "").split(",").map((unit) => unit.trim()));
    ask(this.#advisor);
    learn(this.#description);
    embed(LANGUAGES.get(words) ?? "");
  }

  async #begin() {
    const turn = ++this.#turn;
    try {
      const { words } = this.#language;
      const { markup: found, sheets: style, words: own } = await load(words);
      if (turn !== this.#turn) return;
      this.#markup = found;
      const overlays = await this.#overlays();
      if (turn !== this.#turn) return;
      this.#root.adoptedStyleSheets = style;
      const advisor = advisorWith(overlays, own);
      this.#advisor?.free();
      this.#advisor = advisor;
      ask(advisor);
      this.#description = describe();
      this.#enter();
      this.#build();
      this.#tell();
    } catch (error) {
      if (turn === this.#turn) this.#fail(error);
    }
  }

  async #overlays() {
    const names = (this.getAttribute("overlay") ?? "").split(/\s+/).filter(Boolean);
    return Promise.all(
      names.map(async (name) => {
        const answer = await fetch(new URL(name, document.baseURI));
        if (!answer.ok) throw new Error(`${name}: ${answer.status}`);
        return { name, text: await answer.text() };
      }),
    );
  }

  /** @param {unknown} error */
  #fail(error) {
    // Words of the advisor's own may be what is missing.
    const says = "The advisor could not be set going here.";
    if (this.#markup) useMarkup(this.#markup);
    const note = made("p", this.#markup ? word("embedded failed") : says);
    note.setAttribute("role", "alert");
    note.setAttribute("part", "problem");
    this.#root.replaceChildren(note);
    this.dispatchEvent(new ErrorEvent("error", { error, message: String(error) }));
  }

  #build() {
    const body = copy("embed");
    this.#body = body;
    const [overlay] = theBook().overlays;
    fill(body, { by: overlay && word("embedded by", { title: overlay }) });
    this.#buildReadings(body);
    this.#buildEvents(body);
    this.#buildTank(piece(body, "profile"));
    body.lang = this.#language.words;
    this.#root.replaceChildren(body);
  }

  /** @param {HTMLElement} body */
  #buildReadings(body) {
    const fields = valuesOf("read").map((fact) => fieldFor(fact, fact.label));
    piece(body, "readings-day").value = this.#on;
    const [holder, fold, folded] = ["fields", "fold", "more"].map((name) =>
      piece(body, `readings-${name}`),
    );
    part(holder, fold, folded, fields, () => false);
    piece(body, "readings").addEventListener("submit", (/** @type {Event} */ event) => {
      event.preventDefault();
      const wrong = fields.find((field) => field.text() && !field.isReady());
      const values = given(fields);
      const on = piece(body, "readings-day").value;
      if (wrong) return wrong.focus();
      piece(body, "readings-says").textContent =
        values && on ? "" : word(on ? "nothing entered" : "no day");
      if (!values || !on) return;
      this.#add({ on, event: "read", values });
      for (const field of fields) field.set("");
    });
  }

  /** @param {HTMLElement} body */
  #buildEvents(body) {
    const kinds = theBook().events.filter(({ name }) => name !== "read" && name !== "set");
    const select = piece(body, "event-kind");
    select.append(...kinds.map(({ name, meaning }) => choice(meaning, name)));
    piece(body, "event-day").value = this.#on;
    /** @type {import("./parts/event-field.js").EventPart[]} */
    let parts = [];
    const build = () => {
      const fields = eventOf(select.value)?.fields ?? [];
      parts = fields.filter(({ name }) => name !== "note").map(eventPart);
      piece(body, "event-fields").replaceChildren(...parts.map(({ node }) => node));
      piece(body, "event-says").textContent = "";
    };
    build();
    select.addEventListener("change", build);
    piece(body, "events").addEventListener("submit", (/** @type {Event} */ event) => {
      event.preventDefault();
      const wrong = parts.find((part) => !part.isReady());
      if (wrong) return wrong.focus();
      const pairs = parts.map((part) => [part.name, part.value()]);
      const values = Object.fromEntries(pairs.filter(([, value]) => value !== undefined));
      const entry = { on: piece(body, "event-day").value, event: select.value, ...values };
      const mistakes = this.#mistakesOf(entry);
      piece(body, "event-says").replaceChildren(...mistakes.flatMap(sentence));
      if (mistakes.length === 0) this.#add(entry);
    });
  }

  /**
   * @param {import("./tank.js").Entry} entry
   * @returns {string[]}
   */
  #mistakesOf(entry) {
    if (!entry.on) return [word("no day")];
    const journal = { ...emptyJournal(), events: [entry] };
    return advise(journal, entry.on).mistakes.map(({ message }) => message);
  }

  /** @param {HTMLElement} holder */
  #buildTank(holder) {
    for (const { group, facts } of profile()) {
      const node = copy("group");
      fill(node, { label: group.label, about: group.about });
      const fields = facts.map((fact) => fieldFor(fact));
      for (const field of fields) {
        field.set(String(this.#journal.tank[field.name] ?? ""));
        field.node.addEventListener("change", () => {
          if (!field.isReady()) return;
          const { [field.name]: _, ...others } = this.#journal.tank;
          const text = field.text();
          this.#change({
            ...this.#journal,
            tank: text ? { ...others, [field.name]: text } : others,
          });
        });
      }
      partGroup(node, fields, (field) => field.text() !== "");
      holder.append(node);
    }
  }

  /** @param {import("./tank.js").Entry} entry */
  #add(entry) {
    this.#change({ ...this.#journal, events: [...this.#journal.events, entry] });
  }

  /** @param {import("./tank.js").Journal} journal */
  #change(journal) {
    this.#journal = journal;
    this.#tell();
    const detail = { journal: this.journal, advice: this.advice };
    this.dispatchEvent(new CustomEvent("lentic-advice", { detail, bubbles: true, composed: true }));
  }

  /** Works the answer out and shows it. */
  #tell() {
    if (!this.#body || !this.#advisor) return;
    this.#enter();
    const on = this.#on;
    const { advice, mistakes } = adviseWhole(this.#journal, on);
    const state = { journal: this.#journal, isDated: true, on, advice, mistakes };
    const points = advice?.advice ?? [];
    const opened = [...this.#body.querySelectorAll(".advice:has(.why[open])")].map(
      (node) => /** @type {HTMLElement} */ (node).dataset.rule,
    );
    const items = points.map((point) => adviceItem(point, state));
    for (const item of items) {
      item.setAttribute("part", "advice");
      const why = item.querySelector("details");
      if (why) why.open = opened.includes(item.dataset.rule);
    }
    piece(this.#body, "advices").replaceChildren(...items);
    piece(this.#body, "gates").replaceChildren(
      ...(advice?.gates ?? []).map((gate) => gateItem(gate, state)),
    );
    piece(this.#body, "problems").replaceChildren(
      ...mistakes.map(({ message }) => {
        const line = made("li", "");
        line.append(...sentence(message));
        return line;
      }),
    );
    piece(this.#body, "journal").replaceChildren(...this.#entries());
    const day = dayInWords(on);
    const says =
      points.length === 0
        ? word("summary none", { day })
        : counted("summary", points.length, { day, first: points[0].action_label });
    const status = piece(this.#body, "summary");
    if (status.textContent !== says) status.textContent = says;
  }

  #entries() {
    const { events } = this.#journal;
    return events
      .map((entry, index) => {
        const item = entryItem(entry, index, () =>
          this.#change({ ...this.#journal, events: events.filter((_, place) => place !== index) }),
        );
        piece(item, "edit").remove();
        item.querySelector(".what")?.append(`, ${dayInWords(entry.on)}`);
        return item;
      })
      .reverse();
  }
}

if (!customElements.get("lentic-advisor")) customElements.define("lentic-advisor", LenticAdvisor);
