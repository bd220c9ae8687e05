//! The program: arguments, messages, progress, exit status. Its `main` is a line over [`run`].
//!
//! Absent here: numerics.

mod arguments;
mod commands;
mod exit;
mod interrupt;
mod messages;
mod program;
mod progress;
pub mod screen;
mod whole_file;

pub use exit::Exit;
pub use program::{Screen, run};
