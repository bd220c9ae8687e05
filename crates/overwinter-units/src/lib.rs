//! Physical constants, quantities with units as people write them, and the one table of valid
//! ranges.
//!
//! Absent here: any model.

pub mod constants;
pub mod error;
pub mod kind;
pub mod print;
pub mod quantity;
pub mod range;
pub mod unit;

pub use error::QuantityError;
pub use kind::Kind;
pub use print::{MONTH_NAMES, System, grouped, print, print_in, print_to, significant, tenth};
pub use quantity::{Price, parse, parse_price};
pub use range::Range;
pub use unit::Unit;
