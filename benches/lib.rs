//! Speed measurements; see the `[[bench]]` targets of this crate.
