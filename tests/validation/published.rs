//! Are they the right equations? Published limits for whole rooms, design heat losses, measured
//! covers, seasons and nights, one module a subject. The rows of the README's table come from here.

mod field;
