//! A section ready for every hour: its planes, its stacks, its place in a row; and the beam that
//! crosses the house from one section to another.

use overwinter_physics::film_optics::{StackOptics, StackShares};

use super::hour_light::{DIFFUSE_SOURCES, HourLight, Plane, PlaneLight, WallPlan};
use super::optics::{beam_kept_share, lit_layers, stack_optics};
use crate::house::Section;

/// Columns of a section's block before its layers: light let in as a beam and as diffuse light.
pub(super) const LIGHT_COLUMNS: usize = 2;
/// Screens open, screens closed.
pub(super) const STATES: usize = 2;

/// Where a section stands in a row.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    /// First column with the screen open and closed; the same where there is no screen.
    pub(super) at: [usize; STATES],
    pub(super) layers: usize,
}

/// A section, ready for every hour.
pub(super) struct SectionPlan {
    pub(super) block: Block,
    planes: Vec<Plane>,
    /// Screen open, and closed where there is one.
    stacks: Vec<StackPlan>,
}

/// A section's stack with its screen open or closed.
struct StackPlan {
    stack: StackOptics,
    /// Column of the row where the block starts.
    at: usize,
    /// Column of the innermost lit layer.
    first_layer_at: usize,
    beam_kept_share: f64,
    light_kept_share: f64,
    /// For each plane, what becomes of diffuse light from each source.
    diffuse: Vec<[StackShares; DIFFUSE_SOURCES]>,
}

/// The part of the beams of one hour that crosses the house above the floor.
pub(super) struct Crossing {
    /// Share of every beam that crosses.
    pub(super) share: f64,
    /// One over the area of the sides away from the sun, as seen from it.
    per_far_m2: f64,
    /// Share of what crosses that the far side throws back, with screens open and closed.
    thrown_back: [f64; STATES],
}

impl SectionPlan {
    pub(super) fn new(section: &Section, width: &mut usize) -> Self {
        let layers = section.layers.len();
        let mut next_block = || {
            let at = *width;
            *width += LIGHT_COLUMNS + layers;
            at
        };
        let open_at = next_block();
        let mut stacks = vec![StackPlan::new(section, false, open_at)];
        let mut at = [open_at; STATES];
        if section.screen.is_some() {
            at[1] = next_block();
            stacks.push(StackPlan::new(section, true, at[1]));
        }
        Self {
            block: Block { at, layers },
            planes: section.facets.iter().map(Plane::new).collect(),
            stacks,
        }
    }

    /// The stack with screens open (0) or closed (1).
    fn stack(&self, state: usize) -> &StackPlan {
        &self.stacks[state.min(self.stacks.len() - 1)]
    }

    /// Adds the light from outside to a row, and the beam that goes on to the far side to
    /// `crossed_w`.
    pub(super) fn add_light(
        &self,
        light: &HourLight,
        crossing: &Crossing,
        row: &mut [f64],
        crossed_w: &mut [f64; STATES],
    ) {
        for (at, plane) in self.planes.iter().enumerate() {
            let on = light.on(plane);
            let mut beam_in_w = [0.0; STATES];
            for (stack, beam_w) in self.stacks.iter().zip(&mut beam_in_w) {
                *beam_w = stack.add_plane(plane.area_m2, &on, &stack.diffuse[at], row);
            }
            if self.stacks.len() < STATES {
                beam_in_w[1] = beam_in_w[0];
            }
            for (state, stack) in self.stacks.iter().enumerate() {
                let crosses_w = beam_in_w[state] * crossing.share;
                row[stack.at] += beam_in_w[state] - crosses_w;
                row[stack.at + 1] += crosses_w * crossing.thrown_back[state];
            }
            for (crossed_w, beam_w) in crossed_w.iter_mut().zip(beam_in_w) {
                *crossed_w += beam_w * crossing.share;
            }
        }
    }

    /// Adds the heat that layers absorb from beams that have crossed the house.
    pub(super) fn add_crossed(
        &self,
        light: &HourLight,
        crossing: &Crossing,
        row: &mut [f64],
        crossed_w: &[f64; STATES],
    ) {
        for plane in &self.planes {
            let seen_m2 = light.seen_m2(plane);
            if seen_m2 >= 0.0 {
                continue;
            }
            let place = light.place_on_either_side(plane);
            for (stack, crossed_w) in self.stacks.iter().zip(crossed_w) {
                let arriving_w = -seen_m2 * crossing.per_far_m2 * crossed_w;
                for layer in 0..stack.stack.sheets() {
                    row[stack.first_layer_at + layer] +=
                        arriving_w * stack.stack.absorptance_from_inside(place, layer);
                }
            }
        }
    }
}

impl StackPlan {
    fn new(section: &Section, screen_closed: bool, at: usize) -> Self {
        let layers = lit_layers(section, screen_closed);
        let stack = stack_optics(layers);
        let diffuse = section
            .facets
            .iter()
            .map(|facet| {
                [
                    stack.diffuse_from_sky(facet.tilt_deg),
                    stack.diffuse_from_horizon(facet.tilt_deg),
                    stack.diffuse_from_ground(facet.tilt_deg),
                ]
            })
            .collect();
        Self {
            at,
            first_layer_at: at + LIGHT_COLUMNS + section.layers.len() - layers.len(),
            beam_kept_share: beam_kept_share(layers),
            light_kept_share: section.light_kept_share,
            diffuse,
            stack,
        }
    }

    /// Adds a plane's diffuse light and absorbed heat, and gives the beam let in, W.
    #[inline]
    fn add_plane(
        &self,
        area_m2: f64,
        on: &PlaneLight,
        diffuse: &[StackShares; DIFFUSE_SOURCES],
        row: &mut [f64],
    ) -> f64 {
        let lit_m2 = area_m2 * self.light_kept_share;
        let beam_w = on.beam_w_m2 * lit_m2;
        let through_w = beam_w * self.stack.transmittance(on.place);
        row[self.at + 1] += through_w * (1.0 - self.beam_kept_share);
        for (shares, light_w_m2) in diffuse.iter().zip(on.diffuse_w_m2) {
            row[self.at + 1] += light_w_m2 * lit_m2 * shares.transmittance;
        }
        for layer in 0..self.stack.sheets() {
            let mut absorbed_w = beam_w * self.stack.absorptance(on.place, layer);
            for (shares, light_w_m2) in diffuse.iter().zip(on.diffuse_w_m2) {
                absorbed_w += light_w_m2 * lit_m2 * shares.absorptance[layer];
            }
            row[self.first_layer_at + layer] += absorbed_w;
        }
        through_w * self.beam_kept_share
    }
}

impl Crossing {
    pub(super) fn new(
        sections: &[SectionPlan],
        walls: &[WallPlan],
        floor_area_m2: f64,
        light: &HourLight,
    ) -> Self {
        let mut lit_m2 = 0.0;
        let mut far_m2 = 0.0;
        let mut thrown_back_m2 = [0.0; STATES];
        for section in sections {
            for plane in &section.planes {
                let seen_m2 = light.seen_m2(plane);
                if seen_m2 >= 0.0 {
                    lit_m2 += seen_m2;
                    continue;
                }
                far_m2 -= seen_m2;
                let place = light.place_on_either_side(plane);
                for (state, thrown_back_m2) in thrown_back_m2.iter_mut().enumerate() {
                    let stack = &section.stack(state).stack;
                    *thrown_back_m2 -= seen_m2 * stack.reflectance_from_inside(place);
                }
            }
        }
        for wall in walls {
            let behind_m2 = (-light.seen_m2(&wall.plane)).max(0.0);
            far_m2 += behind_m2;
            thrown_back_m2 = thrown_back_m2.map(|area_m2| area_m2 + behind_m2);
        }
        let on_floor_m2 = floor_area_m2 * light.sin_height();
        let share = if lit_m2 > on_floor_m2 {
            1.0 - on_floor_m2 / lit_m2
        } else {
            0.0
        };
        if far_m2 <= 0.0 {
            // Nothing to cross to: what misses the floor is spread about.
            return Self {
                share,
                per_far_m2: 0.0,
                thrown_back: [1.0; STATES],
            };
        }
        Self {
            share,
            per_far_m2: 1.0 / far_m2,
            thrown_back: thrown_back_m2.map(|area_m2| area_m2 / far_m2),
        }
    }
}
