//! The gaps into which locked film divides the inflated cover: `[[inflation.section]]`.

use std::f64::consts::PI;

use overwinter_engine::house::{Facet, Section};
use overwinter_units::{Kind, System, print, range};

use super::parts::{self, CoverPart, ROOF_AND_SIDES};
use crate::document::{Form, Part, not_among};

/// Most gaps: each further one slows down every step of a gap that empties.
const MOST_SECTIONS: usize = 24;

/// What a gap has unless it says otherwise.
#[derive(Clone, Copy, Debug)]
pub(super) struct Usual {
    /// Mean width.
    pub(super) gap_m: f64,
    /// Leak per area at 60 Pa.
    pub(super) leak_m3_s_m2: f64,
}

/// One gap.
#[derive(Clone, Debug)]
pub(super) struct Gap {
    /// Name by which jumpers and blowers find it.
    pub(super) name: String,
    /// Section of the house it belongs to.
    pub(super) section: usize,
    /// Inflated spaces between the layers there.
    pub(super) spaces: usize,
    /// Its planes, each with its number among all planes of the house.
    pub(super) planes: Vec<(usize, Facet)>,
    /// Mean width.
    pub(super) gap_m: f64,
    /// True if the width is one of its own.
    pub(super) has_own_gap: bool,
    /// Leak per area at 60 Pa.
    pub(super) leak_m3_s_m2: f64,
    /// Area of its exhaust holes together.
    pub(super) holes_m2: f64,
}

impl Gap {
    /// Area of one film, m2.
    pub(super) fn area_m2(&self) -> f64 {
        self.planes.iter().map(|(_, plane)| plane.area_m2).sum()
    }
}

/// Reads the gaps; without `[[inflation.section]]` each section of the house is one.
pub(super) fn read(
    part: &Part<'_>,
    sections: &[Section],
    roof_planes: usize,
    usual: Usual,
) -> Vec<Gap> {
    let holes_m2 = exhaust_holes(part).unwrap_or(0.0);
    let cover = parts::inflated(sections, roof_planes);
    let listed = part.parts("section");
    if listed.is_empty() {
        return one_each(sections, usual, holes_m2);
    }
    if listed.len() > MOST_SECTIONS {
        let message = format!(
            "at most {MOST_SECTIONS} sections, since each slows down every step; join neighbours"
        );
        part.problem("section", &message);
    }
    let mut words = Vec::new();
    for own in &listed {
        words.push(Words::read(own, &cover, usual, holes_m2));
        own.finish();
    }
    check_names(&listed, &words);
    let Some(words) = words.into_iter().collect::<Option<Vec<_>>>() else {
        return Vec::new();
    };
    let shares = shares(&words, cover.len());
    if !all_covered(part, &listed, &cover, (&words, &shares)) {
        return Vec::new();
    }
    let gap = |(words, share): (Words, f64)| words.gap(sections, &cover, share);
    words.into_iter().zip(shares).map(gap).collect()
}

/// One gap for each inflated section of the house.
fn one_each(sections: &[Section], usual: Usual, holes_m2: f64) -> Vec<Gap> {
    let mut gaps: Vec<Gap> = Vec::new();
    for (index, section) in sections.iter().enumerate() {
        let spaces = parts::inflated_spaces(section);
        if spaces == 0 {
            continue;
        }
        let same = gaps.iter().filter(|gap| gap.name == section.name).count();
        let name = match same {
            0 => section.name.clone(),
            _ => format!("{}, section {}", section.name, index + 1),
        };
        let first = parts::first_face(sections, index);
        let planes = (first..).zip(section.facets.iter().copied());
        gaps.push(Gap {
            name,
            section: index,
            spaces,
            planes: planes.collect(),
            gap_m: usual.gap_m,
            has_own_gap: false,
            leak_m3_s_m2: usual.leak_m3_s_m2,
            holes_m2,
        });
    }
    gaps
}

/// A listed gap before the shares are settled.
struct Words {
    name: String,
    /// Parts of the cover, by index.
    parts: Vec<usize>,
    share: Option<f64>,
    gap_m: Option<f64>,
    usual: Usual,
    leak_m3_s_m2: Option<f64>,
    holes_m2: f64,
}

impl Words {
    fn read(own: &Part<'_>, cover: &[CoverPart], usual: Usual, holes_m2: f64) -> Option<Self> {
        if !own.has("name") {
            own.missing("name", "a name for the section, such as \"north half\"");
        }
        let name = own.text("name");
        let parts = parts_of(own, cover);
        let share = own.quantity("share", &range::COVER_SHARE);
        let gap_m = own.quantity("gap", &range::GAP);
        let leak_m3_s_m2 = own.quantity("leak", &range::GAP_FLOW_PER_AREA);
        let own_holes_m2 = exhaust_holes(own);
        Some(Self {
            name: name?.to_owned(),
            parts: parts?,
            share,
            gap_m,
            usual,
            leak_m3_s_m2,
            holes_m2: own_holes_m2.unwrap_or(holes_m2),
        })
    }

    fn gap(self, sections: &[Section], cover: &[CoverPart], share: f64) -> Gap {
        let planes = self.parts.iter().flat_map(|part| {
            let CoverPart {
                section, planes, ..
            } = &cover[*part];
            let first = parts::first_face(sections, *section);
            let facets = &sections[*section].facets;
            planes.clone().map(move |plane| {
                let mut facet = facets[plane];
                facet.area_m2 *= share;
                (first + plane, facet)
            })
        });
        let section = self.parts.first().map_or(0, |part| cover[*part].section);
        Gap {
            planes: planes.collect(),
            name: self.name,
            section,
            spaces: parts::inflated_spaces(&sections[section]),
            gap_m: self.gap_m.unwrap_or(self.usual.gap_m),
            has_own_gap: self.gap_m.is_some(),
            leak_m3_s_m2: self.leak_m3_s_m2.unwrap_or(self.usual.leak_m3_s_m2),
            holes_m2: self.holes_m2,
        }
    }
}

/// The parts of the cover that a section names.
fn parts_of(own: &Part<'_>, cover: &[CoverPart]) -> Option<Vec<usize>> {
    let position = |name: &str| cover.iter().position(|part| part.name == name);
    let both = position("roof").zip(position("sides"));
    let both = both.filter(|(roof, sides)| cover[*roof].section == cover[*sides].section);
    let known = || {
        let names = cover.iter().map(|part| part.name.as_str());
        names.chain(both.map(|_| ROOF_AND_SIDES))
    };
    own.may_be("part", || {
        Form::Names(
            ["roof", "sides", "ends", ROOF_AND_SIDES]
                .map(str::to_owned)
                .into(),
        )
    });
    if !own.has("part") {
        let known: Vec<_> = known().collect();
        let what = format!(
            "the inflated part of the cover it is in: {}",
            known.join(", ")
        );
        own.missing("part", &what);
    }
    let word = own.text("part")?;
    if let Some((roof, sides)) = both.filter(|_| word == ROOF_AND_SIDES) {
        return Some(vec![roof, sides]);
    }
    let found = position(word);
    if found.is_none() {
        let words = not_among(word, known());
        own.problem("part", &format!("no inflated part of the cover; {words}"));
    }
    Some(vec![found?])
}

fn check_names(listed: &[Part<'_>], words: &[Option<Words>]) {
    for (index, own) in listed.iter().enumerate() {
        let Some(Some(one)) = words.get(index) else {
            continue;
        };
        let before = words.iter().take(index).flatten();
        if before.into_iter().any(|other| other.name == one.name) {
            own.problem("name", "two sections have this name");
        }
    }
}

/// Shares as stated; sections without one divide what the others leave of their part.
fn shares(words: &[Words], parts: usize) -> Vec<f64> {
    let of = |part: usize| words.iter().filter(move |one| one.parts.contains(&part));
    let rest = |part: usize| {
        let stated: f64 = of(part).filter_map(|one| one.share).sum();
        let open = of(part).filter(|one| one.share.is_none()).count().max(1);
        (1.0 - stated) / open as f64
    };
    let rests: Vec<f64> = (0..parts).map(rest).collect();
    let share = |one: &Words| {
        let least = one.parts.iter().map(|part| rests[*part]);
        one.share.unwrap_or_else(|| least.fold(1.0, f64::min))
    };
    words.iter().map(share).collect()
}

/// True if the sections make up each inflated part of the cover, no more and no less.
fn all_covered(
    part: &Part<'_>,
    listed: &[Part<'_>],
    cover: &[CoverPart],
    (words, shares): (&[Words], &[f64]),
) -> bool {
    let mut is_sound = true;
    for (index, one) in cover.iter().enumerate() {
        let with = || (0..words.len()).filter(|at| words[*at].parts.contains(&index));
        let sum: f64 = with().map(|at| shares[at]).sum();
        let least = with().map(|at| shares[at]).fold(1.0, f64::min);
        let percent = |share: f64| print(share, Kind::Share, System::Si);
        let name = &one.name;
        let message = if with().next().is_none() {
            format!(
                "no section is in the {name}, which are inflated too: add [[inflation.section]] with part = \"{name}\""
            )
        } else if least <= 0.0 {
            format!(
                "nothing of the {name} is left for a section without `share`: lower those given"
            )
        } else if sum > 1.0 + 1e-9 {
            let sum = percent(sum);
            format!("the shares of the {name} add up to {sum}: give 100 % or less together")
        } else if sum < 1.0 - 1e-6 {
            format!(
                "the shares of the {name} add up to {}: {} is in no section; leave out the `share` of one, \
                 which then takes the rest",
                percent(sum),
                percent(1.0 - sum)
            )
        } else {
            continue;
        };
        is_sound = false;
        match with().next_back().and_then(|at| listed.get(at)) {
            Some(own) => own.problem("share", &message),
            None => part.problem("section", &message),
        }
    }
    is_sound
}

/// Area of `exhaust_holes` of each section.
fn exhaust_holes(part: &Part<'_>) -> Option<f64> {
    part.may_be("exhaust_holes", || Form::Table);
    if !part.has("exhaust_holes") {
        return None;
    }
    let holes = part.part("exhaust_holes");
    let one = "estimate: one at the far end";
    let count = holes.count_or("count", &range::HOLE_COUNT, "1", one);
    let diameter = holes.required("diameter", &range::HOLE_DIAMETER);
    holes.finish();
    diameter.map(|diameter_m| f64::from(count) * PI / 4.0 * diameter_m * diameter_m)
}
