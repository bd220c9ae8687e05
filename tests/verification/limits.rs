//! Cases whose answer is known without stepping: steady states, closed forms, symmetry, monotony.
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

#[path = "limits/decay.rs"]
mod decay;
#[path = "limits/monotony.rs"]
mod monotony;
#[path = "limits/soil.rs"]
mod soil;
#[path = "limits/steady.rs"]
mod steady;
