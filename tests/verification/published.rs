//! Are the equations solved right? Published worked examples, tables of standards and closed forms,
//! one module a subject. The rows of the README's table come from here.

#![allow(missing_docs, reason = "a test target")]

#[path = "published/matrix.rs"]
mod matrix;
#[path = "published/rooms.rs"]
mod rooms;
