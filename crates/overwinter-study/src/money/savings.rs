//! What each design saves against another: the table `savings`.

mod by_carrier;
mod row;
mod table;
mod whole;

use super::paired::Paired;
use crate::ranking::Grid;
use crate::tables::Table;

pub(crate) use row::SavingsRow;

/// The rows of all designs that are compared with another.
pub(crate) fn rows(pairs: &[Paired<'_>]) -> Vec<SavingsRow> {
    let of = |paired: &Paired<'_>| {
        let mut rows = Vec::new();
        if !paired.draws.is_empty() {
            rows.extend(by_carrier::rows(paired));
            rows.extend(whole::rows(paired));
        }
        let none = paired
            .draws
            .is_empty()
            .then_some("no draw ran with both designs");
        let reason = paired.refused.as_deref().or(none);
        rows.extend(reason.map(|reason| SavingsRow {
            note: Some(reason.into()),
            ..SavingsRow::blank(paired, "not counted")
        }));
        rows
    };
    pairs.iter().flat_map(of).collect()
}

/// The table.
pub(crate) fn table(rows: &[SavingsRow], grid: &Grid) -> Table {
    table::table(rows, grid)
}
