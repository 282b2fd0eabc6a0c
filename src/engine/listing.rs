//! What a list tells of one of its rows.

use serde::Serialize;

use super::book::Book;
use super::book::vocabulary::Origin;
use super::why::SourceRef;

/// One thing that is told.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct ListingCell {
    /// The column of the list.
    pub name: String,
    /// Its label.
    pub label: String,
    /// What stands there.
    pub shown: String,
}

/// What a list tells of one option of a choice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Listing {
    /// The option.
    pub option: String,
    /// Its label.
    pub label: String,
    /// What is told, in the order of the columns; what is not known, or differs among several rows, is left out.
    pub cells: Vec<ListingCell>,
    /// Where that comes from.
    pub sources: Vec<SourceRef>,
    /// The overlay that it comes from, or empty.
    pub by: String,
    /// That overlay's reason, or empty.
    pub reason: String,
}

impl Book {
    /// What the list of a choice tells of one of its options; `None` where the choice takes its options from no list.
    #[must_use]
    pub fn listing(&self, fact: &str, option: &str) -> Option<Listing> {
        let id = self.words.find(fact)?;
        let list = self
            .words
            .columns
            .iter()
            .find_map(|column| match column.origin {
                Origin::Listed(listed) if listed.by == id => Some(listed.list),
                _ => None,
            })?;
        let list = &self.words.lists[list as usize];
        let at = list.options.iter().position(|known| known.name == option)?;
        let row = &list.rows[at];
        let (by, reason) = match &row.change {
            Some(change) => (
                self.overlays[change.overlay as usize].title.clone(),
                change.reason.clone(),
            ),
            None => Default::default(),
        };
        let told = |(column, cell): (&super::book::list::ListColumn, &String)| ListingCell {
            name: column.name.clone(),
            label: column.label.clone(),
            shown: column.shown(cell, &self.words),
        };
        let cells = list.columns.iter().zip(&row.cells);
        let cells = cells.filter(|(_, cell)| !cell.is_empty());
        Some(Listing {
            option: option.to_owned(),
            label: list.options[at].label.clone(),
            cells: cells.map(told).collect(),
            sources: self.cited(&row.sources),
            by,
            reason,
        })
    }
}
