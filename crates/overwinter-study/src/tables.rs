//! The tables: what each row and column is, and how they follow from a season's record.

pub mod balance;
pub mod calendar;
pub mod cases;
pub(crate) mod column;
pub mod frost_risk;
pub mod fuel_use;
pub mod hourly;
pub mod moisture;
pub mod night;
pub mod outages;
pub(crate) mod units;
mod wanted;

pub use column::{Column, Table, Values};
pub use wanted::Wanted;

#[cfg(test)]
mod tests;
