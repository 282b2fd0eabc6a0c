//! What the document says: chapter by chapter, block by block.

use std::collections::BTreeMap;

use lentic::engine::{Book, Entry, SourceInfo, Support};

use super::super::tongue::{said, told};
use super::{Piece, Span};

pub(super) fn of(book: &Book) -> Vec<Piece> {
    let entries = book.entries();
    let writer = Writer::of(book, &entries);
    let mut pieces = vec![heading(1, "top", book.title())];
    pieces.push(line(
        "",
        words(told!(
            "Edition {}, digest {}.",
            book.edition(),
            book.digest()
        )),
    ));
    pieces.push(line("", words(writer.counts(&entries))));
    pieces.push(heading(2, "contents", said("Contents")));
    let chapters = book.chapters();
    let mut spoken = book.reading_order();
    spoken.retain(|chapter| writer.is_read(&entries, *chapter));
    // Chapters that only declare what others use come last.
    spoken.sort_by_key(|chapter| {
        let decides = |entry: &Entry| entry.chapter == *chapter && is_rule(entry);
        !entries.iter().any(decides)
    });
    let mut items: Vec<Vec<Span>> = Vec::new();
    for chapter in &spoken {
        let rules = entries
            .iter()
            .filter(|entry| entry.chapter == *chapter && is_rule(entry));
        let mut item = vec![link(
            &format!("chapter-{chapter}"),
            &chapters[*chapter].title,
        )];
        match rules.count() {
            0 => {}
            1 => item.push(Span::Words(said(", one rule").into())),
            count => item.push(Span::Words(told!(", {} rules", count))),
        }
        items.push(item);
    }
    items.push(vec![link("glossary", said("Glossary"))]);
    items.push(vec![link("sources", said("Sources"))]);
    pieces.push(Piece::List { label: "", items });
    for chapter in spoken {
        let info = &chapters[chapter];
        pieces.push(heading(2, &format!("chapter-{chapter}"), &info.title));
        if !info.about.is_empty() {
            pieces.push(line("", words(info.about.clone())));
        }
        let own = entries.iter().filter(|entry| entry.chapter == chapter);
        own.for_each(|entry| writer.entry(entry, &mut pieces));
    }
    writer.glossary(&mut pieces);
    writer.sources(&entries, &mut pieces);
    pieces
}

/// Blocks that are told in a place of their own, or whose lines are told with others.
const ELSEWHERE: [&str; 6] = ["book", "chapter", "group", "term", "source", "overlay"];

/// Fields that are sentences.
const PROSE: [&str; 5] = ["ask", "how", "because", "text", "reason"];

/// Keywords of cases.
const CASES: [&str; 8] = [
    "holds", "fails", "asks", "gives", "opens", "waits", "refuses", "given",
];

struct Writer<'a> {
    book: &'a Book,
    /// Where each fact, rule, gate, action, caution and source stands, by kind and name.
    anchors: BTreeMap<(&'static str, &'a str), String>,
    sources: BTreeMap<String, SourceInfo>,
    /// The labels of actions.
    actions: BTreeMap<&'a str, String>,
    /// The words of cautions.
    cautions: BTreeMap<&'a str, String>,
}

impl<'a> Writer<'a> {
    fn of(book: &'a Book, entries: &'a [Entry]) -> Writer<'a> {
        let mut anchors = BTreeMap::new();
        for entry in entries {
            if let Some(kind) = kind(&entry.keyword) {
                anchors.insert(
                    (kind, entry.name.as_str()),
                    format!("{kind}-{}", entry.name),
                );
            }
        }
        let sources = book.sources().into_iter();
        let told = |keyword: &'static str, field: &'static str| {
            let blocks = entries.iter().filter(move |entry| entry.keyword == keyword);
            let words = move |entry: &'a Entry| {
                let words = fields(entry, field).next();
                (entry.name.as_str(), words.unwrap_or(&entry.name).to_owned())
            };
            blocks.map(words).collect()
        };
        Writer {
            book,
            anchors,
            actions: told("action", "label"),
            cautions: told("caution", "text"),
            sources: sources.map(|source| (source.id.clone(), source)).collect(),
        }
    }

    fn counts(&self, entries: &[Entry]) -> String {
        let count = |keyword: &str| {
            entries
                .iter()
                .filter(|entry| entry.keyword == keyword)
                .count()
        };
        let by = |support: Support| {
            let rests = |entry: &&Entry| is_rule(entry) && self.best(entry) == Some(support);
            entries.iter().filter(rests).count()
        };
        told!(
            "{} rules and {} gates over {} facts. Of the rules, {} rest on published works, {} on common practice, {} on \
             works cited from memory.",
            count("rule"),
            count("gate"),
            count("fact"),
            by(Support::Published),
            by(Support::CommonPractice),
            by(Support::FromMemory),
        )
    }

    /// The best support that a block cites.
    fn best(&self, entry: &Entry) -> Option<Support> {
        let cited = fields(entry, "source").filter_map(|text| self.source_of(text));
        cited.map(|source| source.support).min()
    }

    fn source_of(&self, text: &str) -> Option<&SourceInfo> {
        let id = text.split(',').next().unwrap_or(text).trim();
        self.sources.get(id)
    }

    fn is_read(&self, entries: &[Entry], chapter: usize) -> bool {
        let own = |entry: &Entry| entry.chapter == chapter;
        entries
            .iter()
            .any(|entry| own(entry) && !ELSEWHERE.contains(&entry.keyword.as_str()))
    }

    fn entry(&self, entry: &Entry, pieces: &mut Vec<Piece>) {
        let keyword = entry.keyword.as_str();
        if ELSEWHERE.contains(&keyword) {
            return;
        }
        let kind = kind(keyword).unwrap_or("unit");
        let title = self.title(entry);
        pieces.push(Piece::Heading {
            level: 3,
            id: format!("{kind}-{}", entry.name.replace(' ', "-")),
            name: if kind == "unit" {
                String::new()
            } else {
                entry.name.clone()
            },
            words: title,
        });
        match keyword {
            "rule" => self.rule(entry, pieces),
            "gate" => self.gate(entry, pieces),
            "table" => self.table(entry, pieces),
            "list" => list(entry, pieces),
            _ => {
                for field in &entry.fields {
                    let Some(label) = plain_label(&field.keyword) else {
                        continue;
                    };
                    let spans = if PROSE.contains(&field.keyword.as_str()) {
                        words(self.unfilled(&field.text))
                    } else {
                        self.linked(&field.text)
                    };
                    pieces.push(line(label, spans));
                }
            }
        }
        self.standing(entry, pieces);
    }

    /// What heads a block: a rule its finding, a gate its question, all else its label.
    fn title(&self, entry: &Entry) -> String {
        let field = match entry.keyword.as_str() {
            "rule" => "finding",
            "gate" => "ask",
            "caution" => return said("Caution").into(),
            _ => "label",
        };
        match fields(entry, field).next() {
            Some(text) => self.unfilled(text),
            None if entry.keyword == "unit" => entry.name.clone(),
            None => entry.name.replace('-', " "),
        }
    }

    fn rule(&self, entry: &Entry, pieces: &mut Vec<Piece>) {
        let one = |keyword: &'static str| fields(entry, keyword).next();
        let action = one("advise").unwrap_or_default();
        let mut spans = vec![
            Span::Words(format!("{}, ", urgency(one("urgency").unwrap_or_default()))),
            match self.anchors.get(&("action", action)) {
                Some(anchor) => link(anchor, &self.book.in_sentence(&self.action(action))),
                None => Span::Code(action.to_owned()),
            },
        ];
        if let Some(gate) = &entry.gate {
            spans.push(Span::Words(said("; only while the gate ").into()));
            spans.push(self.reference("gate", gate));
            spans.push(Span::Words(said(" is open").into()));
        }
        pieces.push(line(said("Advises"), spans));
        let mut conditions: Vec<Vec<Span>> = Vec::new();
        for field in &entry.fields {
            let before = match field.keyword.as_str() {
                "when" | "and" => "",
                "unless" => said("unless "),
                "during" => said("during "),
                _ => continue,
            };
            let mut spans = words(before.to_owned());
            spans.extend(self.linked(&field.text));
            conditions.push(spans);
        }
        pieces.push(Piece::List {
            label: said("When all of these hold"),
            items: conditions,
        });
        for (keyword, label) in [("advice", said("Do")), ("because", said("Because"))] {
            if let Some(text) = one(keyword) {
                pieces.push(line(label, words(self.unfilled(text))));
            }
        }
        if let Some(text) = one("amount") {
            pieces.push(line(said("Amount"), self.linked(text)));
        }
        let open = match one("if open") {
            Some("warn") => said("it speaks, as a precaution"),
            Some("ask") => said("it asks for what could decide it"),
            _ => said("it says nothing"),
        };
        pieces.push(line(said("While undecided"), words(open.to_owned())));
        let beaten: Vec<Vec<Span>> = fields(entry, "overrules")
            .map(|text| {
                let (rule, why) = text.split_once(" because ").unwrap_or((text, ""));
                let mut spans = vec![self.reference("rule", rule.trim())];
                spans.push(Span::Words(told!(", because {}", why)));
                spans
            })
            .collect();
        if !beaten.is_empty() {
            pieces.push(Piece::List {
                label: said("Overrules"),
                items: beaten,
            });
        }
    }

    fn gate(&self, entry: &Entry, pieces: &mut Vec<Piece>) {
        for (keyword, label) in [("needs", said("Needs")), ("bars", said("Is barred by"))] {
            let items: Vec<Vec<Span>> = fields(entry, keyword)
                .map(|text| {
                    let (condition, why) = text.split_once(" because ").unwrap_or((text, ""));
                    let mut spans = self.linked(condition.trim());
                    spans.push(Span::Words(format!(": {}", self.unfilled(why.trim()))));
                    spans
                })
                .collect();
            if !items.is_empty() {
                pieces.push(Piece::List { label, items });
            }
        }
    }

    fn table(&self, entry: &Entry, pieces: &mut Vec<Piece>) {
        let by = fields(entry, "by").next().unwrap_or_default();
        let mut head: Vec<String> = by
            .split(',')
            .map(|name| self.book.label(name.trim()).to_owned())
            .collect();
        head.push(self.title(entry));
        let rows = fields(entry, "row").map(|row| {
            let cells = row
                .split("  ")
                .map(str::trim)
                .filter(|cell| !cell.is_empty());
            cells.map(str::to_owned).collect()
        });
        pieces.push(Piece::Table {
            head,
            rows: rows.collect(),
        });
        if let Some(text) = fields(entry, "because").next() {
            pieces.push(line(said("Because"), words(self.unfilled(text))));
        }
    }

    /// Cautions, sources, neighbours and cases of a block.
    fn standing(&self, entry: &Entry, pieces: &mut Vec<Piece>) {
        let cautions: Vec<Vec<Span>> = fields(entry, "caution")
            .flat_map(|text| text.split(','))
            .filter_map(|id| self.cautions.get(id.trim()))
            .map(|text| words(text.clone()))
            .collect();
        if !cautions.is_empty() {
            pieces.push(Piece::List {
                label: said("Take care"),
                items: cautions,
            });
        }
        let cited: Vec<Vec<Span>> = fields(entry, "source")
            .map(|text| self.cited(text))
            .collect();
        if !cited.is_empty() {
            pieces.push(Piece::List {
                label: said("Source"),
                items: cited,
            });
        }
        let named = |names: &[String]| listed(names.iter().map(|name| self.thing(name)));
        for (label, names) in [
            (said("Rests on"), &entry.rests_on),
            (said("Used by"), &entry.used_by),
            (said("Overruled by"), &entry.overruled_by),
        ] {
            if !names.is_empty() {
                pieces.push(line(label, named(names)));
            }
        }
        let cases: Vec<String> = entry
            .fields
            .iter()
            .filter(|field| CASES.contains(&field.keyword.as_str()))
            .map(|field| format!("{} {}", field.keyword, field.text))
            .collect();
        if !cases.is_empty() {
            pieces.push(Piece::Cases(cases));
        }
    }

    fn cited(&self, text: &str) -> Vec<Span> {
        let (id, place) = text.split_once(',').unwrap_or((text, ""));
        let Some(source) = self.sources.get(id.trim()) else {
            return words(text.to_owned());
        };
        let mut spans = vec![link(&format!("source-{}", source.id), &source.words)];
        if !place.trim().is_empty() {
            spans.push(Span::Words(format!(", {}", place.trim())));
        }
        spans.push(Span::Words(format!(" ({})", support(source.support))));
        spans
    }

    fn glossary(&self, pieces: &mut Vec<Piece>) {
        let mut terms = self.book.terms();
        terms.sort_by_key(|term| term.label.to_lowercase());
        pieces.push(heading(2, "glossary", "Glossary"));
        for term in terms {
            let mut spans = Vec::new();
            if !term.also.is_empty() {
                spans.push(Span::Words(format!("Also: {}. ", term.also.join(", "))));
            }
            spans.push(Span::Words(term.means.clone()));
            pieces.push(Piece::Heading {
                level: 3,
                id: format!("term-{}", term.name),
                words: term.label,
                name: String::new(),
            });
            pieces.push(line("", spans));
        }
    }

    fn sources(&self, entries: &[Entry], pieces: &mut Vec<Piece>) {
        pieces.push(heading(2, "sources", "Sources"));
        for source in self.sources.values() {
            pieces.push(Piece::Heading {
                level: 3,
                id: format!("source-{}", source.id),
                words: source.words.clone(),
                name: source.id.clone(),
            });
            let citing: Vec<&str> = entries
                .iter()
                .filter(|entry| {
                    fields(entry, "source").any(|text| {
                        text.split(',').next().map(str::trim) == Some(source.id.as_str())
                    })
                })
                .map(|entry| entry.name.as_str())
                .collect();
            let cited = match citing.len() {
                0 => "cited by formulas only".to_owned(),
                1 => "cited once".to_owned(),
                count => format!("cited {count} times"),
            };
            pieces.push(line(
                "",
                words(format!("{}, {cited}.", support(source.support))),
            ));
        }
    }

    /// Text of the book in which the names of facts lead to them.
    fn linked(&self, text: &str) -> Vec<Span> {
        let is_name = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        let mut spans = Vec::new();
        let mut rest = text;
        while !rest.is_empty() {
            let end = rest.find(|c| !is_name(c)).unwrap_or(rest.len());
            let (word, after) = rest.split_at(end);
            if let Some(anchor) = self.anchors.get(&("fact", word)) {
                spans.push(Span::Link {
                    to: anchor.clone(),
                    words: word.to_owned(),
                    code: true,
                });
            } else if !word.is_empty() {
                spans.push(Span::Code(word.to_owned()));
            }
            let gap = after.find(is_name).unwrap_or(after.len());
            let (between, next) = after.split_at(gap);
            if !between.is_empty() {
                spans.push(Span::Code(between.to_owned()));
            }
            rest = next;
        }
        merged(spans)
    }

    /// A sentence of the book with the labels of facts where their values will stand.
    fn unfilled(&self, text: &str) -> String {
        let mut told = String::new();
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('{') {
            let (name, next) = after.split_once('}').unwrap_or((after, ""));
            let label = if name == "amount" {
                "amount".to_owned()
            } else {
                self.book.label(name).to_lowercase()
            };
            told.push_str(&format!("{before}‹{label}›"));
            rest = next;
        }
        told + rest
    }

    fn thing(&self, name: &str) -> Span {
        if let Some(anchor) = self.anchors.get(&("fact", name)) {
            return link(anchor, &self.book.label(name).to_lowercase());
        }
        for kind in ["rule", "gate"] {
            if self.anchors.contains_key(&(kind, name)) {
                return self.reference(kind, name);
            }
        }
        Span::Code(name.to_owned())
    }

    /// The label of an action.
    fn action<'b>(&'b self, name: &'b str) -> &'b str {
        let labels = &self.actions;
        labels.get(name).map_or(name, String::as_str)
    }

    fn reference(&self, kind: &'static str, name: &str) -> Span {
        match self.anchors.get(&(kind, name)) {
            Some(anchor) => Span::Link {
                to: anchor.clone(),
                words: name.to_owned(),
                code: true,
            },
            None => Span::Code(name.to_owned()),
        }
    }
}

/// A list with a column for each of its columns; lines that stand for several rows come after them.
fn list(entry: &Entry, pieces: &mut Vec<Piece>) {
    let cells = |text: &str| -> Vec<String> {
        let cells = text.split("  ").map(str::trim);
        let told = cells.filter(|cell| !cell.is_empty());
        told.map(|cell| {
            if cell == "any" || cell == "-" {
                ""
            } else {
                cell
            }
            .to_owned()
        })
        .collect()
    };
    let labels = fields(entry, "column").filter_map(|text| cells(text).pop());
    let mut head = vec!["Name in the book".to_owned(), "Name".to_owned()];
    head.extend(labels);
    head.push("Sources".into());
    pieces.push(Piece::Table {
        head,
        rows: fields(entry, "row").map(cells).collect(),
    });
    let either: Vec<Vec<String>> = fields(entry, "either").map(cells).collect();
    if !either.is_empty() {
        pieces.push(Piece::Table {
            head: ["Name in the book", "Name", "May be"]
                .map(str::to_owned)
                .into(),
            rows: either,
        });
    }
}

/// Spans with commas between them.
fn listed(items: impl Iterator<Item = Span>) -> Vec<Span> {
    let mut spans = Vec::new();
    for item in items {
        if !spans.is_empty() {
            spans.push(Span::Words(", ".into()));
        }
        spans.push(item);
    }
    spans
}

/// Runs of code without links between them, joined.
fn merged(spans: Vec<Span>) -> Vec<Span> {
    let mut joined: Vec<Span> = Vec::new();
    for span in spans {
        match (joined.last_mut(), span) {
            (Some(Span::Code(before)), Span::Code(more)) => before.push_str(&more),
            (_, span) => joined.push(span),
        }
    }
    joined
}

fn is_rule(entry: &Entry) -> bool {
    entry.keyword == "rule"
}

fn fields<'a>(entry: &'a Entry, keyword: &'a str) -> impl Iterator<Item = &'a str> {
    let own = entry
        .fields
        .iter()
        .filter(move |field| field.keyword == keyword);
    own.map(|field| field.text.as_str())
}

/// The set of names that a block's name belongs to.
fn kind(keyword: &str) -> Option<&'static str> {
    match keyword {
        "fact" | "derive" | "table" => Some("fact"),
        "rule" => Some("rule"),
        "gate" => Some("gate"),
        "action" => Some("action"),
        "caution" => Some("caution"),
        "source" => Some("source"),
        _ => None,
    }
}

/// What a field is called in the document, for blocks that are told field by field.
fn plain_label(keyword: &str) -> Option<&'static str> {
    Some(match keyword {
        "ask" => "Asks",
        "how" => "How",
        "kind" => "Kind",
        "unit" => "Unit",
        "also" => "Also",
        "range" => "Range",
        "smallest" => "Smallest mark",
        "spread" => "Spread",
        "stale" => "Stale after",
        "option" => "Option",
        "otherwise" => "Otherwise",
        "is" => "Is",
        "zero" => "Zero at",
        "because" => "Because",
        "excludes" => "Excludes",
        "means" => "May mean",
        "text" => "Says",
        "reason" => "Reason",
        _ => return None,
    })
}

fn urgency(word: &str) -> &'static str {
    match word {
        "danger" => "Danger",
        "today" => "Today",
        "soon" => "Soon",
        _ => "Good to know",
    }
}

fn support(support: Support) -> &'static str {
    match support {
        Support::Published => "published",
        Support::CommonPractice => "common practice",
        Support::FromMemory => "from memory",
    }
}

fn heading(level: usize, id: &str, words: &str) -> Piece {
    Piece::Heading {
        level,
        id: id.to_owned(),
        words: words.to_owned(),
        name: String::new(),
    }
}

fn line(label: &'static str, spans: Vec<Span>) -> Piece {
    Piece::Line { label, spans }
}

fn words(text: String) -> Vec<Span> {
    vec![Span::Words(text)]
}

fn link(to: &str, words: &str) -> Span {
    Span::Link {
        to: to.to_owned(),
        words: words.to_owned(),
        code: false,
    }
}
