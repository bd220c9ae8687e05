//! Text for the screen.

mod case_table;
pub(crate) mod climate;
pub(crate) mod climate_years;
pub(crate) mod cover;
mod failing;
pub(crate) mod figures;
pub(crate) mod inflate;
pub(crate) mod layout;
mod money;
pub(crate) mod night;
mod ranking;
pub mod summary;
pub(crate) mod weather;
mod worst_years;
