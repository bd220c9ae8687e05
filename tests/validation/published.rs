//! Are they the right equations? Published limits for whole rooms, design heat losses, measured
//! covers, seasons and nights, one module a subject. The rows of the README's table come from here.

#![allow(missing_docs, reason = "a test target")]

mod covers;
mod field;
mod standard_140;
mod standard_140_others;
