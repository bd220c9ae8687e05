//! A TOML text as a tree in which every value knows its line, and checked reading from it.
//!
//! Reading goes through [`Part`], which records every problem, default and given value instead of
//! stopping at the first mistake, so that a user sees all of them at once.

mod amount;
mod findings;
mod lists;
mod notes;
mod part;
mod quantities;
mod record;
mod stated;
mod suggestion;
mod tree;

pub(crate) use amount::Amount;
pub use findings::Given;
pub(crate) use findings::{Bringers, Findings};
pub(crate) use part::{Part, not_among};
pub(crate) use record::{Asked, Form, KeyPath, Record, Usual};
pub(crate) use stated::stated;
pub(crate) use suggestion::nearest;
pub(crate) use tree::{Entry, Node, Place, Value, parse};
