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
mod paired;
mod savings;
mod stated;
mod used;
mod years;

pub use stated::{Basis, Carrier, Money, StatedLoan, StatedPart, StatedTerms};
pub use used::CaseMoney;

pub(crate) use stated::ELECTRICITY;
pub(crate) use years::tables;
