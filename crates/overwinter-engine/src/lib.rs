//! The engine: a house, one step of its balance, and the season loop.
//!
//! Absent here: files, the clock, the environment, threads, serde, data frames.

pub mod absorbed_sun;
pub mod account;
mod ample;
pub mod balance;
pub mod branch;
pub mod control;
pub mod drive;
pub mod error;
pub mod events;
pub mod failure;
mod gaps;
pub mod house;
pub mod inflated;
pub mod keeper;
pub mod ledger;
pub mod light_shares;
pub mod model;
pub mod outage;
pub mod plant;
pub mod record;
pub mod schedule;
pub mod season;
pub mod shape;
pub mod slab;
pub mod solver;
pub mod step;
pub mod sunlight;
pub mod water_place;
pub mod wetness;
