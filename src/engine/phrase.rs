//! The engine's own words in an answer. Their English stands here; a book in another language says them in its own,
//! with blocks `phrase ID`.

use std::borrow::Cow;

use super::book::Book;
use super::book::text::{Block, Log, Text};
use super::function::Function;
use super::rank::sorted;
use super::show::printed;
use super::unit::Index;

/// A sentence, or part of one, with places for what is told in it.
#[derive(Debug, Clone, Copy)]
pub struct Phrase<const N: usize> {
    pub(crate) id: &'static str,
    pub(crate) english: &'static str,
    pub(crate) arguments: [&'static str; N],
}

/// A phrase as a book may say it: its id, and its English with the places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saying {
    /// The name that `phrase ID` gives.
    pub id: Cow<'static, str>,
    /// What is said where the book says nothing.
    pub english: Cow<'static, str>,
}

/// What a host lends to a book: functions that its rules may call, and words that the host puts into answers.
#[derive(Debug, Clone, Copy, Default)]
pub struct Lent<'a> {
    /// The functions. Their labels, formulas and arguments are words too.
    pub functions: &'a [Function],
    /// Other words of the host.
    pub sayings: &'a [Saying],
}

impl Lent<'_> {
    /// Every phrase that a book with this host may say: the engine's, those of the functions, the host's own.
    pub(crate) fn all(&self) -> Vec<Saying> {
        let mut all: Vec<Saying> = ALL.iter().map(|saying| Saying::of(*saying)).collect();
        for function in self.functions {
            all.extend(of_function(function));
        }
        all.extend(self.sayings.iter().cloned());
        let mut seen = Index::new();
        all.retain(|saying| seen.insert(saying.id.to_string(), 0).is_none());
        all
    }
}

impl Saying {
    /// A phrase that is known beforehand.
    #[must_use]
    pub const fn of((id, english): (&'static str, &'static str)) -> Saying {
        Saying {
            id: Cow::Borrowed(id),
            english: Cow::Borrowed(english),
        }
    }

    /// A line in which a function works its formula, with `{1}`, `{2}` and so on for what is told in it. Wherever the
    /// function writes such a line, the book says it in its own words.
    #[must_use]
    pub fn line(english: &'static str) -> Saying {
        Saying {
            id: id_of("line", english).into(),
            english: english.into(),
        }
    }
}

/// The words of a function; those that several share are said once.
fn of_function(function: &Function) -> Vec<Saying> {
    let saying = |kind: &str, name: &str, english: &'static str| Saying {
        id: id_of(kind, name).into(),
        english: english.into(),
    };
    let mut words = vec![
        saying(AMOUNT, function.name, function.label),
        saying(FORMULA, function.name, function.formula),
        saying(GROUP, function.group, function.group),
    ];
    for argument in function.arguments {
        words.push(saying(ARGUMENT, argument.name, argument.name));
        words.push(saying(HOW, argument.how, argument.how));
        let options = argument.options.iter();
        words.extend(options.map(|(_, label)| saying(OPTION, label, label)));
    }
    words.retain(|saying| !saying.english.is_empty());
    words
}

/// Kinds of words that functions have.
pub(crate) const AMOUNT: &str = "amount";
pub(crate) const FORMULA: &str = "formula";
pub(crate) const GROUP: &str = "group";
pub(crate) const ARGUMENT: &str = "argument";
pub(crate) const HOW: &str = "how";
pub(crate) const OPTION: &str = "option";

/// How the ids of lines begin in which formulas are worked.
pub(crate) const LINE: &str = "line-";

/// A name of lower-case words joined by hyphens.
fn id_of(kind: &str, name: &str) -> String {
    let letters = |c: char| if c.is_alphanumeric() { c } else { ' ' };
    let plain: String = name.to_lowercase().chars().map(letters).collect();
    let words: Vec<&str> = std::iter::once(kind)
        .chain(plain.split_whitespace())
        .collect();
    words.join("-")
}

/// Phrases, each as a constant, and all of them as a list.
macro_rules! phrases {
    ($($name:ident $id:literal [$($argument:ident)*] $english:literal)*) => {
        $(pub(crate) const $name: $crate::engine::Phrase<{ <[&str]>::len(&[$(stringify!($argument)),*]) }> = $crate::engine::Phrase {
            id: $id,
            english: $english,
            arguments: [$(stringify!($argument)),*],
        };)*

        /// Every phrase, in the order in which a translator meets them.
        pub(crate) static ALL: &[(&str, &str)] = &[$(($id, $english)),*];
    };
}

pub(crate) use phrases;

phrases! {
    DECIMAL_MARK "decimal-mark" [] "."
    CAPITALS "capitals" [] "small"

    YES "yes" [] "yes"
    NO "no" [] "no"
    NONE "none" [] "none"
    NOT_KNOWN "not-known" [] "not known"
    STALE "not-known-any-more" [date] "not known any more (last read {date})"
    UNKNOWN_DATE "unknown-date" [] "an unknown date"
    OR "or" [first second] "{first} or {second}"
    PERHAPS_MORE "perhaps-more" [options] "{options}, perhaps more"
    SPAN "span" [low high] "{low} to {high}"
    OR_MORE "or-more" [value] "{value} or more"
    OR_LESS "or-less" [value] "{value} or less"
    MORE_THAN "more-than" [value] "more than {value}"
    LESS_THAN "less-than" [value] "less than {value}"
    AT_LEAST "at-least" [value] "at least {value}"
    AT_MOST "at-most" [value] "at most {value}"
    ANY_VALUE "any-value" [] "any value"
    ANYTHING_BUT "anything-but" [values] "anything but {values}"
    WITH "with" [options] "with {options}"
    WITHOUT "without" [options] "without {options}"
    WITH_WITHOUT "with-without" [with without] "with {with}, without {without}"
    NO_LONGER "no-longer" [option] "no longer: {option}"

    READS_ZERO "reads-zero" [series] "{series} reads zero"
    READS_PRESENT "reads-present" [series] "{series} reads present"
    LAST_READS_ZERO "last-read-zero" [series readings] "{series} reads zero on the last {readings} readings"
    LAST_READS_PRESENT "last-read-present" [series readings] "{series} reads present on the last {readings} readings"
    AGE "age" [series] "Age of {series}"
    CHANGE "change" [series days] "Change of {series} over {days} days"
    HIGHEST "highest" [series days] "Highest {series} over {days} days"
    LOWEST "lowest" [series days] "Lowest {series} over {days} days"
    AGAINST "against" [number other] "{number} against {other}"
    LESS "less" [] "less"
    EQUAL "equal" [] "equal"
    MORE "more" [] "more"
    LISTED "listed" [column of] "{column} ({of})"
    LISTED_FROM "listed-from" [column of] "{column} ({of}, from)"
    LISTED_TO "listed-to" [column of] "{column} ({of}, to)"

    LEAST_OF "least-of" [values] "the least of {values}"
    GREATEST_OF "greatest-of" [values] "the greatest of {values}"
    WORKED_FROM "worked-from" [amount values] "{amount} from {values}"
    OVER_ALL "over-all" [values] "over all values that are possible: {values}"
    LOW_END "low-end" [] "at least:"
    HIGH_END "high-end" [] "at most:"
    NOT_REACHED "not-reached" [] "this cannot be reached with these values"
    OUTSIDE "outside" [value tested] "{value} is outside {tested}, where the formula was tested"

    NOTHING_WRITTEN "nothing-written" [] "nothing is written here"
    NO_SUCH_DAY "no-such-day" [text] "the calendar has no day `{text}`; write it as year-month-day, as in 2026-09-01"
    NO_DATE "no-date" [text] "`{text}` is not a date; write it as year-month-day, as in 2026-09-01"
    NO_TRUTH "no-truth" [text] "`{text}` is neither `yes` nor `no`"
    NO_OPTION "no-option" [text fact help] "`{text}` is no option of {fact}; {help}"
    SEE_OPTIONS "see-options" [] "see the list of options"
    ONE_OF "one-of" [options] "it is one of: {options}"
    DID_YOU_MEAN "did-you-mean" [name] "did you mean `{name}`?"
    NO_NUMBER "no-number" [text] "`{text}` is not a number with its unit; write it as in `0.5` and the unit of your test"
    NO_PLAIN_NUMBER "no-plain-number" [text] "`{text}` is not a number; write it in digits, as in `7`"
    THOUSAND "thousand" [text] "`{text}` may mean a thousand or a decimal comma; write it with a point or without"
    PLAIN_NUMBER "plain-number" [text] "`{text}`: a plain number is wanted here, without a unit"
    NOT_COUNTED_IN "not-counted-in" [fact unit units] "{fact} is not counted in {unit}; use {units}"
    NO_UNIT "no-unit" [text fact units] "`{text}` is no unit of {fact}; use {units}"
    MEANT_IN "meant-in" [text unit fact] "is `{text}` meant in {unit}? Nothing else is plausible for {fact}"
    WHAT_COUNTS "what-counts" [text units] "what does `{text}` count: {units}? Until you say, it may be any of these"
    IN_WHICH_UNIT "in-which-unit" [text units] "in which unit is `{text}`: {units}?"
    IMPLAUSIBLE "implausible" [text range] "`{text}` is outside {range}, so it is left out; is the unit right, or a digit too many? Test again if it is as typed"

    NOT_RECKONED "not-reckoned" [name] "nothing called `{name}` can be reckoned"
    TAKES_NO "takes-no" [amount name help] "`{amount}` takes no `{name}`; {help}"
    TAKES "takes" [names] "it takes {names}"
    IS_MISSING "is-missing" [name wanted] "`{name}` is missing; {wanted}"
    CHOOSE_ONE "choose-one" [options] "choose one of {options}"
    GIVE_IN "give-in" [unit] "give it in {unit}"
    GIVE_NUMBER "give-number" [] "give a number"
    OR_ONE_OF "or-one-of" [wanted options] "{wanted}, or one of {options}"
    NOT_A_NUMBER "not-a-number" [text] "`{text}` is no number"
    NO_OPTION_HERE "no-option-here" [text help] "`{text}` is no option here; {help}"
    NOT_POSSIBLE "not-possible" [text bounds] "`{text}` is not possible here: it must be {bounds}; is the unit right, or a sign or a digit too many?"
    UNKNOWN_FACT "unknown-fact" [] "unknown fact"
}

/// What a phrase says where labels keep their capitals within a sentence.
const KEPT: &str = "kept";

/// The phrases that a book says in words of its own, and how its language writes.
#[derive(Debug, Default)]
pub(crate) struct Phrases {
    places: Index,
    own: Vec<String>,
    /// Lines in which formulas are worked: as the host writes them, and in the words of the book.
    lines: Vec<(String, String)>,
    decimal_mark: Option<char>,
    /// Whether labels keep their capitals within a sentence.
    capitals: bool,
}

impl Phrases {
    /// Reads the blocks `phrase`.
    pub fn read(blocks: &[(u32, Block<'_>)], known: &[Saying], log: &mut Log) -> Phrases {
        let mut phrases = Phrases::default();
        let blocks = blocks.iter().map(|(_, block)| block);
        for block in blocks.filter(|block| block.keyword.value == "phrase") {
            let Some(saying) = saying(&block.name, known, log) else {
                continue;
            };
            let Some(field) = block.field("says") else {
                let help = "add a line `says TEXT`";
                log.hint(&block.name, "this phrase says nothing", help);
                continue;
            };
            if phrases.places.contains_key(&*saying.id) {
                log.at(&block.name, format!("`{}` is said already", saying.id));
            }
            same_places(&saying.english, &field.text, log);
            is_a_choice(&saying.id, &field.text, log);
            phrases.take(&saying.id, &field.text.value);
            if saying.id.starts_with(LINE) {
                let line = (saying.english.to_string(), field.text.value.to_string());
                phrases.lines.push(line);
            }
        }
        // The one that says most is the one that is meant.
        let by_length = |a: &(String, String), b: &(String, String)| b.0.len().cmp(&a.0.len());
        phrases.lines = sorted(std::mem::take(&mut phrases.lines), by_length);
        phrases
    }

    fn take(&mut self, id: &str, text: &str) {
        if id == DECIMAL_MARK.id {
            self.decimal_mark = text.chars().next().filter(|mark| *mark != '.');
        }
        if id == CAPITALS.id {
            self.capitals = text == KEPT;
        }
        self.places.insert(id.to_owned(), self.own.len() as u32);
        self.own.push(text.to_owned());
    }

    /// A phrase with what is told in it.
    pub fn say<const N: usize>(&self, phrase: &Phrase<N>, told: [&str; N]) -> String {
        self.fill(phrase.id, phrase.english, &phrase.arguments, &told)
    }

    #[inline(never)]
    fn fill(&self, id: &str, english: &str, names: &[&str], told: &[&str]) -> String {
        let own = self.places.get(id).map(|place| &self.own[*place as usize]);
        let told = |name: &str| {
            let known = names.iter().position(|known| *known == name)?;
            Some(told[known])
        };
        put_in(own.map_or(english, String::as_str), &told)
    }

    /// A word of the host's, by its kind and name.
    pub fn lent(&self, kind: &str, name: &str, english: &str) -> String {
        self.word(&id_of(kind, name), english)
    }

    fn word(&self, id: &str, english: &str) -> String {
        let own = self.places.get(id).map(|place| &self.own[*place as usize]);
        own.map_or(english, String::as_str).to_owned()
    }

    /// Values of which it may be any one.
    pub fn either(&self, values: &[String]) -> String {
        let joined = |all: String, next: &String| self.say(&OR, [&all, next]);
        let mut values = values.iter();
        let first = values.next().cloned().unwrap_or_default();
        values.fold(first, joined)
    }

    /// A number with so many decimals; without a word on them, with about three figures.
    pub fn number(&self, value: f64, decimals: Option<u8>) -> String {
        self.figures(printed(value, decimals))
    }

    /// A text whose numbers are written with a decimal point, as this language writes them.
    pub fn figures(&self, text: String) -> String {
        let Some(mark) = self.decimal_mark else {
            return text;
        };
        let characters: Vec<char> = text.chars().collect();
        let is_digit = |character: &char| character.is_ascii_digit();
        let is_mark = |at: usize| {
            let (before, after) = (&characters[..at], characters.get(at + 1));
            let whole = before.iter().rev().take_while(|c| is_digit(c)).count();
            let start = before[..at - whole].last();
            // In a formula such as `CaCl2.2H2O` it is no decimal point.
            let is_number = start.is_none_or(|c| !c.is_alphabetic() && *c != ')');
            whole > 0 && is_number && after.is_some_and(is_digit)
        };
        let written = |(at, character): (usize, &char)| match character {
            '.' if is_mark(at) => mark,
            character => *character,
        };
        characters.iter().enumerate().map(written).collect()
    }

    /// Numbers with their unit: one, two, or a bound; none where neither end is one.
    pub fn between(&self, is_bound: (bool, bool), ends: [&str; 2], unit: &str) -> Option<String> {
        let [low, high] = ends;
        let with_unit = |number: &str| match unit {
            "" => number.to_owned(),
            _ => format!("{number} {unit}"),
        };
        match is_bound {
            (true, true) if low == high => Some(with_unit(low)),
            (true, true) => Some(self.say(&SPAN, [low, &with_unit(high)])),
            (true, false) => Some(self.say(&OR_MORE, [&with_unit(low)])),
            (false, true) => Some(self.say(&OR_LESS, [&with_unit(high)])),
            (false, false) => None,
        }
    }

    /// A line of the host's in which a formula is worked, in the words and figures of the book.
    pub fn line(&self, line: String) -> String {
        let told = self.lines.iter().find_map(|(english, own)| {
            let values = values_in(english, &line)?;
            Some(put_in(own, &|name| {
                values.iter().find(|(known, _)| *known == name)?.1.into()
            }))
        });
        self.figures(told.unwrap_or(line))
    }

    /// A label as it stands within a sentence: small at its start, unless that is a name such as `pH` or `CO2`.
    pub fn in_sentence(&self, label: &str) -> String {
        let first = label.split(' ').next().unwrap_or_default();
        let is_name = first.chars().skip(1).any(|c| !c.is_lowercase() && c != '-');
        let mut characters = label.chars();
        match characters.next() {
            Some(start) if !is_name && !self.capitals => {
                start.to_lowercase().chain(characters).collect()
            }
            _ => label.to_owned(),
        }
    }

    /// Whether labels keep their capitals within a sentence.
    pub fn keeps_capitals(&self) -> bool {
        self.capitals
    }

    /// A label without capitals, where the language does without them.
    pub fn lowered(&self, label: &str) -> String {
        match self.capitals {
            true => label.to_owned(),
            false => label.to_lowercase(),
        }
    }
}

impl Book {
    /// A phrase of the host's in the language of the book, with what is told in it.
    #[must_use]
    pub fn say<const N: usize>(&self, phrase: &Phrase<N>, told: [&str; N]) -> String {
        self.words.phrases.say(phrase, told)
    }

    /// A word of the host's that stands among its sayings, in the language of the book.
    #[must_use]
    pub fn word(&self, id: &str, english: &str) -> String {
        self.words.phrases.word(id, english)
    }

    /// A text whose numbers have a decimal point, as the language of the book writes them.
    #[must_use]
    pub fn figures(&self, text: String) -> String {
        self.words.phrases.figures(text)
    }

    /// Numbers that were written with a decimal point, as this book writes them, with their unit: one, or two.
    #[must_use]
    pub fn between(&self, low: String, high: String, unit: &str) -> String {
        let phrases = &self.words.phrases;
        let ends = [low, high].map(|end| phrases.figures(end));
        let between = phrases.between((true, true), [&ends[0], &ends[1]], unit);
        between.unwrap_or_default()
    }

    /// A label as it stands within a sentence.
    #[must_use]
    pub fn in_sentence(&self, label: &str) -> String {
        self.words.phrases.in_sentence(label)
    }
}

/// The phrase of this name; one that there is none of is reported.
fn saying<'a>(name: &Text<'_>, known: &'a [Saying], log: &mut Log) -> Option<&'a Saying> {
    let found = known.iter().find(|saying| saying.id == name.value);
    if found.is_none() {
        log.unknown(name, "phrase", known.iter().map(|saying| &*saying.id));
    }
    found
}

/// Reports a word on how the language writes that there is no such way of.
pub(crate) fn is_a_choice(id: &str, text: &Text<'_>, log: &mut Log) {
    let known: &[&str] = match id {
        id if id == DECIMAL_MARK.id => &[".", ","],
        id if id == CAPITALS.id => &[CAPITALS.english, KEPT],
        _ => return,
    };
    if !known.contains(&&*text.value) {
        log.unknown(text, "way of writing", known.iter().copied());
    }
}

/// A sentence with values in its places.
fn put_in<'a>(sentence: &str, told: &dyn Fn(&str) -> Option<&'a str>) -> String {
    let (mut rest, mut text) = (sentence, String::new());
    while let Some((before, name, after)) = next_place(rest) {
        text.push_str(before);
        text.push_str(told(name).unwrap_or_default());
        rest = after;
    }
    text.push_str(rest);
    text
}

/// What stands in the places of a sentence, if a text is that sentence.
fn values_in<'a>(sentence: &'a str, text: &'a str) -> Option<Vec<(&'a str, &'a str)>> {
    let mut values = Vec::new();
    let (mut rest, mut text) = (sentence, text);
    while let Some((before, name, after)) = next_place(rest) {
        text = text.strip_prefix(before)?;
        let next = after.split('{').next().unwrap_or_default();
        let end = match next {
            "" => text.len(),
            next if after == next => text.strip_suffix(next)?.len(),
            next => text.find(next)?,
        };
        values.push((name, &text[..end]));
        (rest, text) = (after, &text[end..]);
    }
    (text == rest).then_some(values)
}

/// The text before the first place in braces, its name, and the text behind.
fn next_place(text: &str) -> Option<(&str, &str, &str)> {
    let (before, rest) = text.split_once('{')?;
    let (name, after) = rest.split_once('}')?;
    Some((before, name, after))
}

/// The names in braces.
fn places(text: &str) -> Vec<&str> {
    let mut rest = text;
    let next = || {
        let (_, name, after) = next_place(rest)?;
        rest = after;
        Some(name)
    };
    std::iter::from_fn(next).collect()
}

/// Reports what stands in braces in one sentence and not in the other: both must tell the same.
pub(crate) fn same_places(sentence: &str, own: &Text<'_>, log: &mut Log) {
    let (wanted, found) = (places(sentence), places(&own.value));
    for name in found.iter().filter(|name| !wanted.contains(name)) {
        let at = own.value.find(&format!("{{{name}}}")).unwrap_or(0);
        let place = own.part(at + 1, at + 1 + name.len());
        log.unknown(&place, "value", wanted.iter().copied());
    }
    let lacking = wanted.iter().filter(|name| !found.contains(name));
    for name in lacking {
        let help = "each value of the sentence stands in its translation too";
        log.hint(own, format!("`{{{name}}}` is missing here"), help);
    }
}
