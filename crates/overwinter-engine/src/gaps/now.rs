//! Gaps as the balance takes them: what they are in one step, put into the compiled house.

use overwinter_physics::number::Real;

use crate::model::{Model, SpaceModel};

/// The gaps of one section of a house, as they are in one step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SectionGaps {
    /// Section of the house.
    pub(crate) section: usize,
    /// Share of it in which the films touch.
    pub(crate) touching_share: f64,
    /// Conductance there.
    pub(crate) touching_w_m2k: f64,
    /// Conductance that the rest has at least.
    pub(crate) flapping_w_m2k: f64,
    /// Air that passes through.
    pub(crate) flow_m3_s: f64,
    /// Share of it that comes from the house.
    pub(crate) inside_share: f64,
}

/// All gaps of a house in one step.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct GapsNow {
    /// By section of the house.
    pub(crate) sections: Vec<SectionGaps>,
    /// Outdoor air that a blower drives into the house through tears.
    pub(crate) into_house_m3_s: f64,
}

impl GapsNow {
    /// Puts the gaps of one lane's house into the model.
    pub(crate) fn put_into<R: Real>(&self, lane: usize, model: &mut Model<R>) {
        for gaps in &self.sections {
            let section = &mut model.sections[gaps.section];
            section.mixed |= gaps.inside_share > 0.0;
            for space in &mut section.spaces {
                let SpaceModel::Inflated {
                    flow_m3_s,
                    from_inside,
                    touching_share,
                    touching_w_m2k,
                    flapping_w_m2k,
                    ..
                } = space
                else {
                    continue;
                };
                flow_m3_s.set_lane(lane, gaps.flow_m3_s);
                from_inside.set_lane(lane, gaps.inside_share);
                touching_share.set_lane(lane, gaps.touching_share);
                touching_w_m2k.set_lane(lane, gaps.touching_w_m2k);
                flapping_w_m2k.set_lane(lane, gaps.flapping_w_m2k);
            }
        }
    }
}

/// Puts the gaps of one lane into the model as they stand in a freshly compiled one.
pub(crate) fn put_stated_into<R: Real>(lane: usize, stated: &Model<R>, model: &mut Model<R>) {
    let fresh = stated.sections.iter().flat_map(|section| &section.spaces);
    let moved = model
        .sections
        .iter_mut()
        .flat_map(|section| &mut section.spaces);
    for (moved, fresh) in moved.zip(fresh) {
        let (
            SpaceModel::Inflated {
                flow_m3_s,
                from_inside,
                touching_share,
                flapping_w_m2k,
                ..
            },
            SpaceModel::Inflated {
                flow_m3_s: stated_flow_m3_s,
                from_inside: stated_inside,
                ..
            },
        ) = (moved, fresh)
        else {
            continue;
        };
        flow_m3_s.set_lane(lane, stated_flow_m3_s.lane(lane));
        from_inside.set_lane(lane, stated_inside.lane(lane));
        touching_share.set_lane(lane, 0.0);
        flapping_w_m2k.set_lane(lane, 0.0);
    }
}
