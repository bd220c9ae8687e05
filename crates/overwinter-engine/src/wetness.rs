//! How much of the cover is wet.

use overwinter_physics::number::Real;

use crate::model::{LayerModel, Model, SectionModel, SpaceModel};
use crate::step::State;

/// Wet shares of faces of the cover, mean by area, 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WetShares<R> {
    /// Lower (house-side) faces of the innermost films; a screen is not one of them.
    pub film: R,
    /// Lower faces that meet the air of an inflated gap; 0 where there is no gap.
    pub gap: R,
}

/// Wet shares in a state.
pub fn wet_shares<R: Real>(model: &Model<R>, state: &State<R>) -> WetShares<R> {
    let mean = |counts: &dyn Fn(&SectionModel<R>, usize) -> bool| {
        let (mut wet_m2, mut area_m2) = (R::zero(), R::splat(f64::MIN_POSITIVE));
        for section in &model.sections {
            for (index, layer) in section.layers.iter().enumerate() {
                if counts(section, index) {
                    wet_m2 += wet_share(layer, state) * section.area_m2;
                    area_m2 += section.area_m2;
                }
            }
        }
        wet_m2 / area_m2
    };
    WetShares {
        film: mean(&|section, index| index == innermost_film(section)),
        gap: mean(&is_in_gap),
    }
}

/// The innermost layer that is not a screen.
pub(crate) fn innermost_film<R>(section: &SectionModel<R>) -> usize {
    usize::from(section.has_screen && section.layers.len() > 1)
}

fn is_in_gap<R>(section: &SectionModel<R>, layer: usize) -> bool {
    let below = layer.checked_sub(1).and_then(|at| section.spaces.get(at));
    matches!(below, Some(SpaceModel::Inflated { .. }))
}

fn wet_share<R: Real>(layer: &LayerModel<R>, state: &State<R>) -> R {
    layer.place.wet_share(&state.water[layer.place_at])
}
