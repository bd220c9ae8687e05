//! Are the equations solved right? Published worked examples, tables of standards and closed forms,
//! one module a subject. The rows of the README's table come from here.

#![allow(missing_docs, reason = "a test target")]

#[path = "published/fuel.rs"]
mod fuel;
#[path = "published/glazing.rs"]
mod glazing;
#[path = "published/heat_loss.rs"]
mod heat_loss;
#[path = "published/matrix.rs"]
mod matrix;
#[path = "published/rooms.rs"]
mod rooms;
