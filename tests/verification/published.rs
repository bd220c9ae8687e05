//! Are the equations solved right? Published worked examples, tables of standards and closed forms,
//! one module a subject. The rows of the README's table come from here.

#[path = "published/fuel.rs"]
mod fuel;
#[path = "published/glazing.rs"]
mod glazing;
