//! The engine: a house, one step of its balance, and the season loop.
//!
//! Absent here: files, the clock, the environment, threads, serde, data frames.

pub mod control;
pub mod house;
pub mod ledger;
pub mod record;
pub mod shape;
