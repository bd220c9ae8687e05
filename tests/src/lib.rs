//! Houses and years that the cross-crate test targets and the benches share.

pub mod houses;
pub mod years;
