//! The inflated parts of a cover and their planes.

use std::ops::Range;

use overwinter_engine::house::{Section, Space};

/// Name of the section of a house whose roof and sides have one cover.
pub(super) const ROOF_AND_SIDES: &str = "roof and sides";

/// A part of the cover that is inflated and has a name of its own.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CoverPart {
    /// Name.
    pub(super) name: String,
    /// Section of the house it belongs to.
    pub(super) section: usize,
    /// Its planes within that section.
    pub(super) planes: Range<usize>,
}

/// Number of inflated spaces of a section of the house.
pub(super) fn inflated_spaces(section: &Section) -> usize {
    let is_inflated = |space: &&Space| matches!(space, Space::Inflated { .. });
    section.spaces.iter().filter(is_inflated).count()
}

/// The inflated parts: sections of the house, but roof and sides by themselves.
pub(super) fn inflated(sections: &[Section], roof_planes: usize) -> Vec<CoverPart> {
    let mut parts = Vec::new();
    for (index, section) in sections.iter().enumerate() {
        if inflated_spaces(section) == 0 {
            continue;
        }
        let mut part = |name: &str, planes| {
            let name = name.to_owned();
            parts.push(CoverPart {
                name,
                section: index,
                planes,
            });
        };
        let all = section.facets.len();
        if section.name == ROOF_AND_SIDES && roof_planes < all {
            part("roof", 0..roof_planes);
            part("sides", roof_planes..all);
        } else {
            part(&section.name, 0..all);
        }
    }
    parts
}

/// Number of the first face of a section, faces being counted over all planes of the house.
pub(super) fn first_face(sections: &[Section], section: usize) -> usize {
    let before = sections.iter().take(section);
    before.map(|section| section.facets.len()).sum()
}
