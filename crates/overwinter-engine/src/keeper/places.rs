//! The faces that water settles on, in words.

use overwinter_physics::number::Real;

use crate::house::{House, Section, Space};
use crate::model::Model;
use crate::record::{MoistureMonth, PlaceMoisture, Side};

/// The places of a house in the order of their water, with nothing on them: layers section by
/// section from the house outwards, then the leaves.
pub(super) fn places<R: Real>(house: &House, model: &Model<R>, lane: usize) -> Vec<PlaceMoisture> {
    let mut places: Vec<PlaceMoisture> = Vec::new();
    for section in &house.sections {
        for layer in 0..section.layers.len() {
            let side = side(section, layer);
            places.push(PlaceMoisture {
                name: format!("{}: {}", section.name, layer_words(section, layer, side)),
                side,
                area_m2: section.area_m2(),
                months: [MoistureMonth::default(); 12],
            });
        }
    }
    places.push(PlaceMoisture {
        name: "crop: leaves".to_owned(),
        side: Side::Leaves,
        area_m2: (model.crop.two_sided_m2 * model.crop.present).lane(lane),
        months: [MoistureMonth::default(); 12],
    });
    places
}

fn side(section: &Section, layer: usize) -> Side {
    let below = layer.checked_sub(1).and_then(|at| section.spaces.get(at));
    match below {
        None if section.screen.is_some() => Side::Screen,
        None => Side::House,
        Some(Space::Inflated { .. }) => Side::Gap,
        Some(Space::AboveScreen { .. }) => Side::AboveScreen,
        Some(Space::Sealed { .. }) => Side::Sealed,
    }
}

/// Which layer, what it is, and what its lower face meets: "outer film (clear), in the gap".
fn layer_words(section: &Section, layer: usize, side: Side) -> String {
    let name = &section.layers[layer].name;
    let met = match side {
        Side::Screen => return format!("screen ({name}), house side"),
        Side::House | Side::Leaves => "house side",
        Side::AboveScreen => "above the screen",
        Side::Gap => "in the gap",
        Side::Sealed => "in the sealed space",
    };
    let screens = usize::from(section.screen.is_some());
    let fixed = section.layers.len() - screens;
    let kind = if touches_a_gap(section, layer) {
        "film"
    } else {
        "layer"
    };
    let rank = match (fixed, layer - screens) {
        (1, _) => return format!("{name}, {met}"),
        (_, 0) => "inner",
        (_, at) if at + 1 == fixed => "outer",
        _ => "middle",
    };
    format!("{rank} {kind} ({name}), {met}")
}

fn touches_a_gap(section: &Section, layer: usize) -> bool {
    let around = [layer.checked_sub(1), Some(layer)];
    around.into_iter().flatten().any(|space| {
        let space = section.spaces.get(space);
        matches!(space, Some(Space::Inflated { .. }))
    })
}
