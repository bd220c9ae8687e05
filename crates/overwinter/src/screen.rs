//! Text for the screen.

pub(crate) mod climate;
pub(crate) mod figures;
pub(crate) mod layout;
pub mod summary;
