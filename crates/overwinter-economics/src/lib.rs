//! Money over years: what designs of a house cost, and what one saves against another.
//!
//! A [`Plan`] is one design with its parts, energy, upkeep and loan; [`Terms`] say for how long and
//! at what rate of discount it is judged. [`CashFlow`] is the plan year by year, [`Comparison`] what
//! it saves against a baseline. [`rural_energy`] holds the points of one grant scheme.
//!
//! Payments fall due at the ends of years; year 0 is the day of buying. Words and definitions are
//! those of ASTM E917 (life-cycle costs) and NIST Handbook 135.
//!
//! Absent here: houses, weather, how much fuel a design uses, the tables of fuels and what they give
//! off (amounts and kilograms come in), files, currencies (one for all sums), taxes and
//! depreciation, energy price forecasts, the valuation of carbon.

pub mod cash_flow;
mod check;
pub mod comparison;
pub mod emissions;
pub mod error;
pub mod factor;
pub mod loan;
pub mod payback;
pub mod plan;
pub mod rate_of_return;
pub mod rural_energy;
pub mod terms;

pub use cash_flow::{CarrierCost, CashFlow, Costs, YearRow};
pub use comparison::{Comparison, OutlivedPart, SavingRow};
pub use emissions::Emissions;
pub use error::EconomicsError;
pub use loan::Loan;
pub use payback::Payback;
pub use plan::{EnergyUse, Part, Plan, Residual};
pub use rate_of_return::RateOfReturn;
pub use terms::{Money, Terms};
