//! Whole files through the readers: the shipped ones, small made-up ones with one defect each, and
//! damaged ones.

#![allow(clippy::unwrap_used, reason = "a test may panic")]
#![allow(missing_docs, reason = "tests are not an interface")]

mod defects;
mod design_nights;
mod made_up;
mod mutations;
mod other_formats;
mod shipped;
mod stresses;
mod year_kinds;
