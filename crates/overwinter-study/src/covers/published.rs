//! What handbooks print for a cover.

use crate::catalogue::{Figure, catalogue};

/// A published U-value of a kind of cover.
#[derive(Clone, Debug, PartialEq)]
pub struct PublishedU {
    /// What the source calls the cover.
    pub of: String,
    /// Its U-value in W/m2 K, with its range and where it stands.
    pub u_w_m2k: Figure,
}

/// What the catalogue holds of published U-values for a cover, by its name.
pub fn published(cover: &str) -> Vec<PublishedU> {
    let is_for = |covers: &Vec<String>| covers.iter().any(|name| name == cover);
    let entries = catalogue().list("handbook").iter();
    entries
        .filter(|entry| entry.lists.get("covers").is_some_and(is_for))
        .filter_map(|entry| {
            Some(PublishedU {
                of: entry.about.clone(),
                u_w_m2k: entry.figure("u")?.clone(),
            })
        })
        .collect()
}
