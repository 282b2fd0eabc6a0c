//! Tables: values that no row fits, rows that disagree where they overlap, and rows that nothing reaches.

use super::super::book::vocabulary::{Origin, Table};
use super::super::eval::Evaluation;
use super::super::expr::compile::ColumnId;
use super::super::set::Verdict;
use super::goal::{Goal, allowed};
use super::{Answer, Check, Severity, witness};

impl<'q> Check<'q> {
    /// Gaps, overlaps and dead rows of every table.
    pub(super) fn tables(&mut self) {
        for index in 0..self.book.words.columns.len() {
            if let Origin::Table(table) = &self.book.words.columns[index].origin {
                let id = ColumnId(index as u32);
                self.gap(id, table);
                self.dead_rows(id, table);
                self.overlaps(id, table);
            }
        }
    }

    fn gap(&mut self, id: ColumnId, table: &'q Table) {
        let column = self.book.words.get(id);
        let goals: Vec<Goal<'q>> = (0..table.rows.len())
            .map(|row| Goal::Row(id, row, false))
            .collect();
        let outside = |run: &Evaluation<'_>| {
            table
                .rows
                .iter()
                .all(|row| run.row(table, row) == Verdict::Fails)
        };
        match self.ask(&goals, &outside) {
            Answer::Never => {}
            Answer::Undecided => {
                self.undecided(
                    "table-gap",
                    column.place,
                    &format!("whether `{}` has a gap", column.name),
                );
            }
            Answer::Shown(facts) => {
                let witness = self.table_witness(id, &facts);
                let message = format!(
                    "no row of `{}` fits: {}",
                    column.name,
                    witness::listed(&witness.facts)
                );
                self.add(
                    "table-gap",
                    Severity::Mistake,
                    column.place,
                    message,
                    Some(witness),
                );
            }
        }
    }

    fn dead_rows(&mut self, id: ColumnId, table: &'q Table) {
        for (index, row) in table.rows.iter().enumerate() {
            let reached = |run: &Evaluation<'_>| run.row(table, row) == Verdict::Holds;
            match self.ask(&[Goal::Row(id, index, true)], &reached) {
                Answer::Shown(_) => {}
                Answer::Never => {
                    self.add(
                        "never-holds",
                        Severity::Mistake,
                        row.place,
                        "nothing ever fits this row".into(),
                        None,
                    );
                }
                Answer::Undecided => {
                    self.undecided("never-holds", row.place, "whether anything fits this row")
                }
            }
        }
    }

    fn overlaps(&mut self, id: ColumnId, table: &'q Table) {
        for a in 0..table.rows.len() {
            for b in a + 1..table.rows.len() {
                let (first, second) = (&table.rows[a], &table.rows[b]);
                let cells = first.cells.iter().zip(&second.cells);
                let mut both = cells.filter_map(|(x, y)| Some((allowed(*x)?, allowed(*y)?)));
                if first.result == second.result || both.any(|(x, y)| x.meet(y).is_none()) {
                    continue;
                }
                let overlap = |run: &Evaluation<'_>| {
                    run.row(table, first) == Verdict::Holds
                        && run.row(table, second) == Verdict::Holds
                };
                match self.ask(&[Goal::Row(id, a, true), Goal::Row(id, b, true)], &overlap) {
                    Answer::Never => {}
                    Answer::Undecided => {
                        self.undecided(
                            "table-overlap",
                            second.place,
                            "whether this row overlaps one above it",
                        );
                    }
                    Answer::Shown(facts) => {
                        let witness = self.table_witness(id, &facts);
                        let message = format!(
                            "this row and `{}` both fit, and differ: {}",
                            first.words,
                            witness::listed(&witness.facts)
                        );
                        self.add(
                            "table-overlap",
                            Severity::Mistake,
                            second.place,
                            message,
                            Some(witness),
                        );
                    }
                }
            }
        }
    }

    fn table_witness(&self, id: ColumnId, facts: &super::Facts) -> super::Witness {
        let run = self.book.evaluate(facts);
        let name = &self.book.words.get(id).name;
        let witness = super::Witness::new(self.book, facts);
        witness.with(
            "table",
            name,
            &witness::gives(&run, name),
            &self.places,
            &run,
        )
    }
}
