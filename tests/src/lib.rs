//! Helpers shared by the cross-crate test targets.
