//! What designs cost over years and what they save: the tables `costs`, `savings` and `cash_flow`.
//!
//! ```text
//! [money] of a case ─> Money ─┐
//! its year: fuel_use, sun ────┴─> CaseMoney ─> economics::Plan ─> costs (case by case)
//! two cases of one draw ─> economics::Comparison ─> savings, cash_flow (when parts are joined)
//! ```
//! Prices, costs and lives come from the scenario, amounts from the run; the arithmetic is that of
//! `overwinter-economics`. A case that failed has no costs and drops out with its draw.

pub mod costs;
mod digest;
mod paired;
mod savings;
mod stated;
mod used;
mod years;

use crate::ranking::RankingPlan;
use crate::tables::Table;

pub use digest::{DesignMoney, MoneyDigest, SettingMoney, ShortLife, Told};
pub use stated::{Basis, Carrier, Money, StatedLoan, StatedPart, StatedTerms};
pub use used::CaseMoney;

pub(crate) use stated::ELECTRICITY;

/// What is made of the money of a study when its cases are joined: the tables `savings`, if there are
/// designs to compare, and `cash_flow`, and what a screen tells.
pub(crate) fn joined(
    plan: &RankingPlan,
    cases: paired::Cases<'_>,
) -> (Vec<Table>, Option<MoneyDigest>) {
    let grid = plan.grid();
    let pairs = paired::all(&grid, plan, cases);
    let rows = savings::rows(&pairs);
    let mut tables = Vec::new();
    if plan.compares() {
        tables.push(savings::table(&rows, &grid));
    }
    let years = years::rows(&grid, plan, cases, &pairs);
    tables.push(years::table(&years, &grid));
    let digest = digest::digest(&grid, plan.draws(), cases, &pairs, &rows);
    (tables, digest)
}

#[cfg(test)]
mod tests;
