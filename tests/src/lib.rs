//! Houses, years and published figures that the cross-crate test targets and the benches share.

pub mod airy_room;
pub mod fixtures;
pub mod gaps;
pub mod half_space;
pub mod houses;
pub mod nights;
pub mod published;
pub mod stepping;
pub mod years;
