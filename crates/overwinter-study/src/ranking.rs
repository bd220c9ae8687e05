//! Designs compared with each other: differences draw by draw, how often each is the best, what
//! drives the result, and the worst of several years of one place.
//!
//! ```text
//! RankingPlan (axes, rules, draws) + Measures of every case ─> compare, ranking, drivers, worst_years
//! ```
//! All of it follows from the plan and the measures alone. Two designs are compared under the same
//! draw, so that what is unknown of both does not hide what differs between them. A case that failed
//! drops out with its draw, in the pairs that it belongs to and in no other.

mod asked;
pub(crate) mod columns;
mod digest;
mod drivers;
mod measure;
mod measures;
mod pairs;
mod plan;
mod sample;
mod standings;
mod statistics;
mod worst_years;

use crate::tables::Table;

pub(crate) use asked::read;
pub(crate) use digest::digest;
pub(crate) use plan::{Cell, Grid, PlannedInput, Setting};
pub(crate) use worst_years::rows as worst_years;

pub use digest::{DesignDigest, Digest, DrivenBy, SettingDigest, Unheld};
pub use measure::{Better, Measure};
pub use measures::{Failing, Measures, TimeBelow};
pub use plan::{Outline, RankingPlan};
pub use statistics::{LEAST_DRAWS, Spread, chance_correlation};
pub use worst_years::{WorstYears, YearBelow};

/// The tables that a plan has; without cases they have no rows. `measures` has one entry a case, in order,
/// `None` for one that failed.
pub fn tables(plan: &RankingPlan, measures: &[Option<&Measures>]) -> Vec<Table> {
    let grid = plan.grid();
    let mut tables = Vec::new();
    if plan.compares() {
        tables.push(pairs::table(&pairs::rows(&grid, plan, measures), &grid));
        tables.push(standings::table(
            &standings::rows(&grid, plan, measures),
            &grid,
        ));
    }
    if plan.drives() {
        let rows = drivers::rows(&grid, plan, measures);
        tables.push(drivers::table(&rows, &grid, &plan.inputs));
    }
    if plan.has_years() {
        tables.push(worst_years::table(&worst_years::rows(plan, measures), plan));
    }
    tables
}

#[cfg(test)]
mod tests;
