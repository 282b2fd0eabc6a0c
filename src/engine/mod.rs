//! Rule books over sets of possible values. This room knows no word of any subject.
//!
//! One idea carries it: **a fact is a set of possible values**. A number is an interval, a choice a set of
//! options, a truth one or both of yes and no; what nobody measured is simply the whole range that the vocabulary
//! allows. One evaluator works over such sets. Given points it decides; given wider sets it says what is open
//! and which fact could close it.
//!
//! A [`Book`] is read from text ([`Book::load`]); everything that can be wrong with it is found then, with its
//! place. It is run on [`Facts`] with [`Book::evaluate`], which cannot fail.

mod access;
mod answer;
mod book;
mod cases;
mod change;
mod check;
mod conclude;
mod contents;
mod deciding;
mod describe;
mod diagnostic;
mod difference;
mod entry;
mod eval;
mod expr;
mod facts;
mod function;
mod judge;
mod kernel;
mod later;
pub mod limit;
mod listing;
mod next;
mod normal;
mod phrase;
mod rank;
mod reckon;
mod record;
mod set;
mod show;
mod sufficient;
mod sweep;
mod translate;
mod unit;
mod why;
mod why_not;
mod working;

pub use answer::{
    AdvicePoint, Amount, Answer, CautionInfo, GateAnswer, NeedAnswer, OpenPoint, SetAside,
};
pub use book::Book;
pub use book::rule::{IfOpen, Support, Urgency};
pub use book::text::File;
pub use cases::CaseReport;
pub use change::{Change, Direction, RuleStanding, Standing};
pub use check::{
    Coverage, Finding, Gap, Mutation, Proposal, Report, Scope, Severity, Survivor, Witness,
    WitnessCase,
};
pub use conclude::{Beaten, Clash};
pub use contents::{Entry, FieldText, TermInfo};
pub use deciding::Asking;
pub use describe::{
    ChapterInfo, DerivedInfo, FactInfo, GroupInfo, OptionInfo, OverlayInfo, RuleInfo, Scale,
    SourceInfo, Withdrawn,
};
pub use diagnostic::{Diagnostic, Mistakes};
pub use difference::{Difference, GateMoved, Moved};
pub use entry::Entered;
pub use eval::{Evaluation, GateVerdict};
pub use facts::{Facts, Given, Reading};
pub use function::{Argument, Function, Trend};
pub use judge::{Flip, Flips, Ground, Judge, Worth};
pub use kernel::{Turn, Verdicts};
pub use listing::{Listing, ListingCell};
pub use next::NextTest;
pub(crate) use phrase::phrases;
pub use phrase::{Lent, Phrase, Saying};
pub use rank::{arrange, distinct, sorted};
pub use reckon::{ArgumentInfo, FunctionInfo, Reckoned};
pub use record::{FieldDiffers, fields_that_differ};
pub use set::{Interval, NO, Set, Verdict, YES};
pub use show::figure;
pub use sufficient::Reason;
pub use translate::{Translation, translated};
pub use why::{Basis, Evidence, Form, Margin, SourceRef, Worked};
pub use why_not::{Obstacle, Step, WhyNot};
