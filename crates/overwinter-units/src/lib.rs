//! Physical constants, quantities with units as people write them, and the one table of valid
//! ranges.
//!
//! Absent here: any model.

pub mod constants;
pub mod error;
pub mod kind;
pub mod money;
pub mod print;
pub mod quantity;
pub mod range;
pub mod unit;

pub use error::QuantityError;
pub use kind::Kind;
pub use money::{Price, Sum, parse_price, parse_sum, parse_sum_a_year};
pub use print::{MONTH_NAMES, System, grouped, print, print_in, print_to, significant, tenth};
pub use quantity::parse;
pub use range::Range;
pub use unit::Unit;
