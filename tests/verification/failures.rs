//! Nights in which something fails: a closed form of the cooling, and what never makes a night warmer.
#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

#[path = "failures/half_space.rs"]
mod half_space;
#[path = "failures/monotone.rs"]
mod monotone;
