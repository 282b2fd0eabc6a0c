//! Facts that show a finding, in the words of a case.

use serde::Serialize;

use super::super::book::Book;
use super::super::book::case::CASE_TODAY;
use super::super::eval::Evaluation;
use super::super::facts::Facts;
use super::super::set::{Set, Verdict};
use super::pick;
use super::place::Places;

/// Facts that show a finding. Each case can be pasted into its block as it stands, and comes out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Witness {
    /// Name and value of each fact, as a case writes them.
    pub facts: Vec<(String, String)>,
    /// What comes of it, as cases.
    pub cases: Vec<WitnessCase>,
}

/// One line that can be pasted into a block.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct WitnessCase {
    /// The block, as in `rule too-hot`.
    pub block: String,
    /// The line, as in `holds weight 1 kg`.
    pub line: String,
}

/// The facts of a point but the day, which every case has.
pub(super) fn facts(book: &Book, point: &Facts) -> Vec<(String, String)> {
    let given = point.iter().filter(|(id, _)| Some(*id) != book.today);
    given
        .map(|(id, given)| (book.words.get(id).name.clone(), given.typed.clone()))
        .collect()
}

impl Witness {
    pub(super) fn new(book: &Book, point: &Facts) -> Witness {
        Witness {
            facts: facts(book, point),
            cases: Vec::new(),
        }
    }

    /// With a case for a block: its keyword, and the value before `from` for what is worked out.
    pub(super) fn with(
        mut self,
        keyword: &str,
        name: &str,
        expect: &str,
        places: &Places<'_>,
        run: &Evaluation<'_>,
    ) -> Witness {
        let mut facts = self.facts.clone();
        // What the block's cases take as known must not speak against the witness.
        for (given, _) in places.given(keyword, name) {
            if !facts.iter().any(|(known, _)| *known == given)
                && let Some(id) = run.book.words.find(&given)
            {
                let column = run.book.words.get(id);
                let value = pick::typed(column, &run.book.words.units, run.set(id), CASE_TODAY);
                facts.push((given, value));
            }
        }
        self.cases.push(WitnessCase {
            block: format!("{keyword} {name}"),
            line: format!("{expect} {}", listed(&facts)),
        });
        self
    }
}

/// Facts as a case lists them.
pub(super) fn listed(facts: &[(String, String)]) -> String {
    if facts.is_empty() {
        return "nothing".into();
    }
    let each: Vec<String> = facts
        .iter()
        .map(|(name, value)| format!("{name} {value}"))
        .collect();
    each.join(", ")
}

/// The keyword of a rule's case.
pub(super) fn keyword(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => "holds",
        Verdict::Fails => "fails",
        Verdict::Open => "asks",
    }
}

/// `gives VALUE from` for what a derived fact or table comes to.
pub(super) fn gives(run: &Evaluation<'_>, name: &str) -> String {
    let id = run.book.words.find(name);
    let value = id.map_or_else(String::new, |id| {
        let set: Set = run.set(id);
        pick::typed(
            run.book.words.get(id),
            &run.book.words.units,
            set,
            CASE_TODAY,
        )
    });
    format!("gives {value} from")
}
