//! Reads the files of a book in phases: units, names, columns, rules and gates, then what joins them.

use super::super::diagnostic::{Mark, did_you_mean};
use super::super::expr::compile::ColumnId;
use super::super::expr::resolve::Resolver;
use super::super::function::Function;
use super::super::kernel::{Builder, Kernel};
use super::super::limit;
use super::super::normal::Normal;
use super::super::phrase::{Lent, Phrases};
use super::super::rank::sorted;
use super::super::unit::Measure;
use super::order::rests_on;
use super::overlay::{self, Overlay};
use super::rule::{Action, Caution, Change, Gate, Rule, Source};
use super::text::{Block, File, Log, Text, blocks, starts};
use super::vocabulary::{Column, Derivation, Kind, Origin, Signature, Vocabulary, Words};
use super::{Book, Chapter, Group, Step, Term, block, body, column, list, shape, units};

/// What has been read so far.
pub(crate) struct Reader {
    pub log: Log,
    pub words: Vocabulary,
    pub groups: Vec<Group>,
    pub terms: Vec<Term>,
    pub sources: Vec<Source>,
    pub cautions: Vec<Caution>,
    pub actions: Vec<Action>,
    /// What overlays do to rules, each named once.
    pub changes: Vec<(String, Change)>,
    pub rules: Vec<Rule>,
    pub gates: Vec<Gate>,
    pub stage: Option<ColumnId>,
    pub tables: Builder,
    /// Whether cases are looked at; otherwise they are known to be without mistakes.
    pub reads_cases: bool,
}

/// What conditions, sentences and cases may speak of, and where their mistakes go.
pub(crate) struct Known<'a> {
    pub words: Words<'a>,
    pub stage: Option<ColumnId>,
    pub actions: &'a [Action],
    pub sources: &'a [Source],
    pub cautions: &'a [Caution],
    pub log: &'a mut Log,
}

impl Known<'_> {
    /// Settles the names and units of this text.
    pub fn resolver<'a>(&'a mut self, text: &'a Text<'a>) -> Resolver<'a> {
        Resolver {
            words: self.words.again(),
            text,
            log: self.log,
        }
    }
}

/// Reads a book, but does not keep its files.
pub(crate) fn read(files: &[File], lent: Lent<'_>, reads_cases: bool, log: &mut Log) -> Book {
    let mut blocks = all_blocks(files, log);
    if !shape::is_read(&blocks, log) {
        blocks.clear();
    }
    shape::known_fields(&mut blocks, log);
    shape::names(&mut blocks, files, log);
    let mut words = Vocabulary::default();
    words.functions = lent.functions.to_vec();
    words.phrases = Phrases::read(&blocks, &lent.all(), log);
    words.units = units::read(&blocks, log);
    let mut reader = Reader {
        log: std::mem::take(log),
        words,
        groups: Vec::new(),
        terms: Vec::new(),
        sources: Vec::new(),
        cautions: Vec::new(),
        actions: Vec::new(),
        changes: Vec::new(),
        rules: Vec::new(),
        gates: Vec::new(),
        stage: None,
        tables: Builder::default(),
        reads_cases,
    };
    reader.signatures();
    let book = reader.book(files, &blocks);
    *log = reader.log;
    book
}

/// The blocks of all files, each with the number of its file.
fn all_blocks<'a>(files: &'a [File], log: &mut Log) -> Vec<(u32, Block<'a>)> {
    let size: usize = files.iter().map(|file| file.text.len()).sum();
    if size > limit::BOOK_BYTES {
        let message = format!("this book is larger than {} bytes", limit::BOOK_BYTES);
        log.note(Mark::START, message.into(), None);
        return Vec::new();
    }
    let mut all = Vec::new();
    for (number, (file, start)) in (0..).zip(files.iter().zip(starts(files))) {
        let own = blocks(start, &file.text, log);
        all.extend(own.into_iter().map(|block| (number, block)));
    }
    if let Some((_, block)) = all.get(limit::BLOCKS) {
        let message = format!("more than {} blocks in one book", limit::BLOCKS);
        log.at(&block.keyword, message);
        return Vec::new();
    }
    all
}

impl Reader {
    /// The same as conditions and cases see it.
    pub fn known(&mut self) -> Known<'_> {
        Known {
            words: Words::Growing(&mut self.words),
            stage: self.stage,
            actions: &self.actions,
            sources: &self.sources,
            cautions: &self.cautions,
            log: &mut self.log,
        }
    }

    /// Settles the units of the lent functions. A function whose units this book lacks cannot be called in it.
    fn signatures(&mut self) {
        let units = &self.words.units;
        let measure = |name: &str| match name {
            "" => Some((Measure::default(), None)),
            _ => units
                .find(name)
                .map(|id| (units.get(id).measure(), Some(id))),
        };
        let signature = |function: &Function| {
            let arguments: Vec<_> = function
                .arguments
                .iter()
                .map(|a| measure(a.unit))
                .collect::<Option<_>>()?;
            let (result, result_unit) = measure(function.unit)?;
            let (arguments, argument_units) = arguments.into_iter().unzip();
            let names = function
                .arguments
                .iter()
                .map(|argument| argument.name)
                .collect();
            Some(Signature {
                arguments,
                argument_units,
                names,
                result,
                result_unit,
            })
        };
        self.words.signatures = self.words.functions.iter().map(signature).collect();
    }

    fn book(&mut self, files: &[File], blocks: &[(u32, Block<'_>)]) -> Book {
        let of = |keywords: &[&'static str]| -> Vec<(u32, &Block<'_>)> {
            blocks
                .iter()
                .filter(|(_, block)| keywords.contains(&&*block.keyword.value))
                .map(|(chapter, block)| (*chapter, block))
                .collect()
        };
        let (columns, actions) = (of(&["fact", "derive", "table"]), of(&["action"]));
        let books = of(&["book"]);
        self.each(&of(&["group"]), |reader, _, block| {
            block::group(reader, block)
        });
        self.each(&of(&["term"]), |reader, _, block| {
            block::term(reader, block)
        });
        self.each(&of(&["source"]), |reader, _, block| {
            block::source(reader, block)
        });
        self.each(&of(&["caution"]), |reader, _, block| {
            block::caution(reader, block)
        });
        self.each(&actions, |reader, _, block| block::action(reader, block));
        self.each(&actions, |reader, _, block| {
            block::exclusions(reader, block)
        });
        let overlays = overlay::overlays(self, &of(&["overlay"]));
        let rows = overlay::rows(self, &overlays, &of(&["list"]), &of(&["rows"]));
        for (_, block) in of(&["list"]) {
            list::list(self, block, &rows);
        }
        self.each(&columns, column::declare);
        self.each(&of(&["fact"]), list::declare_listed);
        if !blocks.is_empty() || self.log.is_empty() {
            self.head(&books, files, &overlays);
        }
        self.each(&columns, |reader, _, block| column::define(reader, block));
        let (rules, changes) = overlay::rules(
            self,
            &overlays,
            of(&["rule"]),
            &of(&["replace"]),
            &of(&["withdraw"]),
        );
        self.changes = changes;
        self.each(&rules, body::rule);
        list::names_apart(self);
        self.each(&rules, |reader, _, block| block::overrules(reader, block));
        self.each(&of(&["gate"]), block::gate);
        self.each(&of(&["unit"]), |reader, _, block| {
            body::citations(&mut reader.known(), block);
        });
        block::overruling_circles(self);
        let kernel = self.normal_forms();
        self.words.columns.shrink_to_fit();
        self.rules.shrink_to_fit();
        let order = self.order();
        let worked = steps(&self.words, &order);
        let mut is_worked = vec![false; self.words.columns.len()];
        worked
            .iter()
            .for_each(|step| is_worked[step.id().0 as usize] = true);
        let first_worked = worked.iter().map(|step| step.id()).min();
        let below = worked_from(&self.words, &worked);
        let ranges = self
            .words
            .columns
            .iter()
            .map(|column| column.range)
            .collect();
        let head = books.first().map(|(_, block)| *block);
        let value = |keyword: &str| {
            head.and_then(|block| block.value(keyword))
                .unwrap_or_default()
        };
        let rules = std::mem::take(&mut self.rules);
        let by_name = |a: &usize, b: &usize| rules[*a].name.cmp(&rules[*b].name);
        Book {
            rules_by_name: sorted((0..rules.len()).collect(), by_name),
            name: head.map_or_else(String::new, |block| block.name.value.to_string()),
            title: value("title"),
            edition: value("edition"),
            language: value("language"),
            digest: digest(files),
            today: head
                .and_then(|block| block.field("today"))
                .and_then(|field| self.words.find(&field.text.value)),
            chapters: chapters(files, &of(&["chapter"]), &overlays),
            listed: head
                .and_then(|block| block.field("chapters"))
                .map(|field| {
                    let names = field.text.split(",");
                    names.map(|name| name.value.into_owned()).collect()
                })
                .unwrap_or_default(),
            overlays,
            files: Vec::new(),
            stage: self.stage,
            words: std::mem::take(&mut self.words),
            order,
            ranges,
            worked,
            is_worked,
            first_worked,
            below,
            kernel,
            groups: std::mem::take(&mut self.groups),
            terms: std::mem::take(&mut self.terms),
            sources: std::mem::take(&mut self.sources),
            cautions: std::mem::take(&mut self.cautions),
            actions: std::mem::take(&mut self.actions),
            rules,
            gates: std::mem::take(&mut self.gates),
        }
    }

    /// Reads blocks one after the other, until so much is wrong that nobody would read more of it.
    fn each(&mut self, blocks: &[(u32, &Block<'_>)], read: fn(&mut Reader, u32, &Block<'_>)) {
        for (chapter, block) in blocks {
            if self.log.is_full() {
                return;
            }
            read(self, *chapter, block);
        }
    }

    fn head(&mut self, books: &[(u32, &Block<'_>)], files: &[File], overlays: &[Overlay]) {
        let Some((_, block)) = books.first() else {
            let help = Some("start one file with `book NAME`".into());
            let message = "no file says which book this is".into();
            self.log.note(Mark::START, message, help);
            return;
        };
        if let Some((_, second)) = books.get(1) {
            self.log
                .at(&second.name, "a second `book`; there is one in a book");
        }
        self.stage = self.head_fact(block, "stage", "choice", |column| {
            column.kind == Kind::Choice
        });
        self.head_fact(block, "today", "date", |column| column.date);
        if let Some(field) = block.field("chapters") {
            self.chapter_list(&field.text, files, overlays);
        }
    }

    /// The fact of a certain kind that the head of the book names.
    fn head_fact(
        &mut self,
        block: &Block<'_>,
        keyword: &str,
        kind: &str,
        fits: fn(&Column) -> bool,
    ) -> Option<ColumnId> {
        let field = block.field(keyword)?;
        let Some(id) = self.words.find(&field.text.value) else {
            self.log.unknown(&field.text, "fact", self.words.names());
            return None;
        };
        if fits(self.words.get(id)) {
            return Some(id);
        }
        let message = format!("`{}` is no {kind}; `{keyword}` needs one", field.text.value);
        self.log.at(&field.text, message);
        None
    }

    /// The list of chapters and the files handed over must be the same.
    fn chapter_list(&mut self, text: &Text<'_>, files: &[File], overlays: &[Overlay]) {
        let listed: Vec<Text<'_>> = text.split(",").collect();
        let own = |index: &usize| {
            !overlays
                .iter()
                .any(|overlay| overlay.file as usize == *index)
        };
        let stems: Vec<&str> = (0..files.len())
            .filter(own)
            .map(|index| stem(&files[index].name))
            .collect();
        for (place, name) in listed.iter().enumerate() {
            let before = &listed[..place];
            if before.iter().any(|other| other.value == name.value) {
                let message = format!("the chapter `{}` stands here twice", name.value);
                self.log.at(name, message);
            } else if !stems.contains(&&*name.value) {
                let message = format!("there is no file `{}.rules`", name.value);
                let help = did_you_mean(&name.value, stems.iter().copied());
                self.log
                    .note(name.mark(), message.into(), help.map(Into::into));
            }
        }
        for stem in stems {
            if stem != "book" && !listed.iter().any(|name| name.value == stem) {
                self.log.at(
                    text,
                    format!("the file `{stem}` is not in the list of chapters"),
                );
            }
        }
    }

    /// Works out the normal form of every need and derived truth, and the tables of rules and needs.
    fn normal_forms(&mut self) -> Kernel {
        let Reader { words, gates, .. } = self;
        let mut tables = std::mem::take(&mut self.tables);
        for need in gates.iter_mut().flat_map(|gate| &mut gate.needs) {
            need.normal = Normal::of(std::slice::from_ref(&need.condition), words);
            tables.add(&need.normal);
        }
        for index in 0..words.columns.len() {
            if let Origin::Derived(Derivation::Truth { condition, .. }) =
                &words.columns[index].origin
            {
                let condition = condition.clone();
                let normal = Normal::of(std::slice::from_ref(&condition), words);
                words.columns[index].origin =
                    Origin::Derived(Derivation::Truth { condition, normal });
            }
        }
        tables.build(self.rules.len(), |id| words.get(id))
    }
}

/// What is worked out, in this order.
fn steps(words: &Vocabulary, order: &[ColumnId]) -> Vec<Step> {
    let step = |id: &ColumnId| match words.get(*id).origin {
        Origin::Given { otherwise: None } => None,
        Origin::Order { left, right } => Some(Step::Order {
            id: *id,
            left,
            right,
        }),
        _ => Some(Step::Other(*id)),
    };
    order.iter().filter_map(step).collect()
}

/// The columns that each of these rests on.
fn worked_from(words: &Vocabulary, worked: &[Step]) -> Box<[Box<[ColumnId]>]> {
    worked
        .iter()
        .map(|step| rests_on(words, step.id()).into_boxed_slice())
        .collect()
}

/// The name of a file without folders and ending.
pub(crate) fn stem(name: &str) -> &str {
    let base = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let ending = [".rules", ".words"]
        .iter()
        .find_map(|ending| base.strip_suffix(ending));
    ending.unwrap_or(base)
}

fn chapters(files: &[File], blocks: &[(u32, &Block<'_>)], overlays: &[Overlay]) -> Vec<Chapter> {
    let chapter = |(index, file): (usize, &File)| {
        if let Some(overlay) = overlays
            .iter()
            .find(|overlay| overlay.file as usize == index)
        {
            return Chapter {
                title: overlay.title.clone(),
                about: overlay.about.clone(),
            };
        }
        let block = blocks
            .iter()
            .find(|(number, _)| *number as usize == index)
            .map(|(_, block)| *block);
        Chapter {
            title: block.map_or_else(
                || stem(&file.name).to_owned(),
                |block| block.name.value.to_string(),
            ),
            about: block
                .and_then(|block| block.value("about"))
                .unwrap_or_default(),
        }
    };
    files.iter().enumerate().map(chapter).collect()
}

fn digest(files: &[File]) -> String {
    use sha2::{Digest, Sha256};
    let mut hash = Sha256::new();
    for file in files {
        hash.update(stem(&file.name));
        hash.update([0]);
        hash.update(file.text.replace("\r\n", "\n"));
        hash.update([0]);
    }
    hash.finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
