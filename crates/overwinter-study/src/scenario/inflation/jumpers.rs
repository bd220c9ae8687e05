//! Hoses that hand air from section to section: `[[inflation.jumper]]`.

use overwinter_physics::inflation::Jumper;
use overwinter_physics::inflation::network::Link;
use overwinter_units::range;

use super::sections::Gap;
use crate::document::{Form, Part, not_among};

const HOSE_SOURCE: &str = "common practice, no source: one short hose of 3 to 4 in";
const USUAL_DIAMETER: &str = "100 mm";
const USUAL_LENGTH: &str = "1 m";
const USUAL: Jumper = Jumper {
    diameter_m: 0.1,
    length_m: 1.0,
    bends: 0,
    count: 1,
};

/// Reads the jumpers; without any, each gap is joined to the first by one hose, but only where the
/// gaps themselves are not listed. `None` if one of them cannot be.
pub(super) fn read(part: &Part<'_>, gaps: &[Gap]) -> Option<Vec<Link>> {
    let listed = part.parts("jumper");
    if listed.is_empty() && !part.has("section") {
        return Some(to_the_first(part, gaps));
    }
    let links: Vec<_> = listed.iter().map(|own| link(own, gaps)).collect();
    links.into_iter().collect()
}

fn to_the_first(part: &Part<'_>, gaps: &[Gap]) -> Vec<Link> {
    let Some((first, others)) = gaps.split_first() else {
        return Vec::new();
    };
    part.note_usual("jumper", "one hose from the first section to each other");
    for gap in others {
        let key = part.path_of(&format!("jumper to \"{}\"", gap.name));
        let value = format!("{USUAL_DIAMETER} hose of {USUAL_LENGTH}");
        let source = format!("{HOSE_SOURCE}, from \"{}\"", first.name);
        part.findings().borrow_mut().assumed(key, value, source);
    }
    let link = |to| Link {
        from: 0,
        to,
        jumper: USUAL,
    };
    (1..gaps.len()).map(link).collect()
}

fn link(own: &Part<'_>, gaps: &[Gap]) -> Option<Link> {
    let [from, to] = ["from", "to"].map(|key| end(own, key, gaps));
    let jumper = hose(own);
    own.finish();
    let (from, to) = (from?, to?);
    if from == to {
        let message = format!(
            "a jumper joins two sections, this one begins and ends in \"{}\": name another",
            gaps[to].name
        );
        own.problem("to", &message);
        return None;
    }
    Some(Link { from, to, jumper })
}

/// The section that a key names.
pub(super) fn end(own: &Part<'_>, key: &str, gaps: &[Gap]) -> Option<usize> {
    own.may_be(key, || Form::Names(usual_names()));
    if !own.has(key) {
        own.missing(key, "the section at this end, by its name");
    }
    let name = own.text(key)?;
    let found = gaps.iter().position(|gap| gap.name == name);
    // Without gaps they have been refused, each with its reason.
    if found.is_none() && !gaps.is_empty() {
        let known = gaps.iter().map(|gap| gap.name.as_str());
        let message = format!("there is no such section; {}", not_among(name, known));
        own.problem(key, &message);
    }
    found
}

/// Names of the gaps of a house that does not list them.
fn usual_names() -> Vec<String> {
    ["roof and sides", "roof", "sides", "ends"]
        .map(str::to_owned)
        .into()
}

/// Reads the sizes of a hose.
pub(super) fn hose(own: &Part<'_>) -> Jumper {
    Jumper {
        diameter_m: own.quantity_or(
            "diameter",
            &range::HOSE_DIAMETER,
            USUAL_DIAMETER,
            HOSE_SOURCE,
        ),
        length_m: own.quantity_or("length", &range::HOSE_LENGTH, USUAL_LENGTH, HOSE_SOURCE),
        bends: own.count_or("bends", &range::HOSE_BENDS, "0", HOSE_SOURCE),
        count: own.count_or("count", &range::HOSE_COUNT, "1", HOSE_SOURCE),
    }
}
