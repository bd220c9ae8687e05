//! A section ready for every hour: its planes, its stacks, its place in a row; and the beam that
//! crosses the house from one section to another.

use overwinter_physics::film_optics::StackOptics;

use super::hour_light::{DIFFUSE_SOURCES, Facing, HourLight, Plane, WallPlan};
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
    pub(super) planes: Vec<Plane>,
    /// Index of its first plane among those of all sections.
    first_plane: usize,
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
    /// Area that lets in each source of diffuse light, m2.
    lets_in_m2: [f64; DIFFUSE_SOURCES],
    /// Area with which each lit layer absorbs it, m2.
    absorbs_m2: Vec<[f64; DIFFUSE_SOURCES]>,
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
    /// Takes the next columns of a row and the next planes.
    pub(super) fn new(section: &Section, width: &mut usize, planes: &mut usize) -> Self {
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
        let first_plane = *planes;
        *planes += section.facets.len();
        Self {
            block: Block { at, layers },
            planes: section
                .facets
                .iter()
                .map(|facet| Plane::of_section(facet, section))
                .collect(),
            first_plane,
            stacks,
        }
    }

    fn facings<'a>(&self, of_all: &'a [Facing]) -> &'a [Facing] {
        &of_all[self.first_plane..self.first_plane + self.planes.len()]
    }

    /// The stack with screens open (0) or closed (1).
    fn stack(&self, state: usize) -> &StackPlan {
        &self.stacks[state.min(self.stacks.len() - 1)]
    }

    /// Adds the diffuse light of an hour to a row.
    pub(super) fn add_diffuse(&self, light: &HourLight, row: &mut [f64]) {
        for stack in &self.stacks {
            row[stack.at + 1] += product(&stack.lets_in_m2, &light.diffuse_w_m2);
            for (absorbs_m2, heat_w) in stack
                .absorbs_m2
                .iter()
                .zip(&mut row[stack.first_layer_at..])
            {
                *heat_w += product(absorbs_m2, &light.diffuse_w_m2);
            }
        }
    }

    /// Adds the beam of an hour to a row, and the part that goes on to the far side to
    /// `crossed_w`.
    pub(super) fn add_beam(
        &self,
        light: &HourLight,
        facings: &[Facing],
        crossing: &Crossing,
        row: &mut [f64],
        crossed_w: &mut [f64; STATES],
    ) {
        let mut beam_in_w = [0.0; STATES];
        for (stack, beam_in_w) in self.stacks.iter().zip(&mut beam_in_w) {
            for facing in self.facings(facings) {
                if facing.seen_m2 > 0.0 {
                    *beam_in_w += stack.add_plane(light.beam_w_m2, facing, row);
                }
            }
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

    /// Adds the heat that layers absorb from beams that have crossed the house.
    pub(super) fn add_crossed(
        &self,
        facings: &[Facing],
        crossing: &Crossing,
        row: &mut [f64],
        crossed_w: &[f64; STATES],
    ) {
        let far = self.facings(facings).iter().filter(|f| f.seen_m2 < 0.0);
        for facing in far {
            for (stack, crossed_w) in self.stacks.iter().zip(crossed_w) {
                let arriving_w = -facing.seen_m2 * crossing.per_far_m2 * crossed_w;
                for layer in 0..stack.stack.sheets() {
                    row[stack.first_layer_at + layer] +=
                        arriving_w * stack.stack.absorptance_from_inside(facing.place, layer);
                }
            }
        }
    }
}

fn product(area_m2: &[f64; DIFFUSE_SOURCES], light_w_m2: &[f64; DIFFUSE_SOURCES]) -> f64 {
    area_m2.iter().zip(light_w_m2).map(|(a, b)| a * b).sum()
}

impl StackPlan {
    fn new(section: &Section, screen_closed: bool, at: usize) -> Self {
        let layers = lit_layers(section, screen_closed);
        let stack = stack_optics(layers);
        let mut lets_in_m2 = [0.0; DIFFUSE_SOURCES];
        let mut absorbs_m2 = vec![[0.0; DIFFUSE_SOURCES]; layers.len()];
        for facet in &section.facets {
            let shares = [
                stack.diffuse_from_sky(facet.tilt_deg),
                stack.diffuse_from_horizon(facet.tilt_deg),
                stack.diffuse_from_ground(facet.tilt_deg),
            ];
            let areas_m2 = Plane::of_section(facet, section).diffuse_m2();
            for (source, (shares, area_m2)) in shares.iter().zip(areas_m2).enumerate() {
                let lit_m2 = area_m2 * section.light_kept_share;
                lets_in_m2[source] += lit_m2 * shares.transmittance;
                for (absorbs_m2, share) in absorbs_m2.iter_mut().zip(&shares.absorptance) {
                    absorbs_m2[source] += lit_m2 * share;
                }
            }
        }
        Self {
            at,
            first_layer_at: at + LIGHT_COLUMNS + section.layers.len() - layers.len(),
            beam_kept_share: beam_kept_share(layers),
            light_kept_share: section.light_kept_share,
            lets_in_m2,
            absorbs_m2,
            stack,
        }
    }

    /// Adds what a plane scatters and absorbs of a beam, and gives what it lets in as a beam, W.
    #[inline]
    fn add_plane(&self, beam_w_m2: f64, facing: &Facing, row: &mut [f64]) -> f64 {
        let beam_w = beam_w_m2 * facing.seen_m2 * self.light_kept_share;
        let through_w = beam_w * self.stack.transmittance(facing.place);
        row[self.at + 1] += through_w * (1.0 - self.beam_kept_share);
        for layer in 0..self.stack.sheets() {
            row[self.first_layer_at + layer] +=
                beam_w * self.stack.absorptance(facing.place, layer);
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
        facings: &[Facing],
    ) -> Self {
        let lit_m2: f64 = facings.iter().map(|facing| facing.seen_m2.max(0.0)).sum();
        let on_floor_m2 = floor_area_m2 * light.sin_height();
        if lit_m2 <= on_floor_m2 {
            return Self {
                share: 0.0,
                per_far_m2: 0.0,
                thrown_back: [0.0; STATES],
            };
        }
        let share = 1.0 - on_floor_m2 / lit_m2;
        let walls_m2: f64 = walls
            .iter()
            .map(|wall| (-light.facing(&wall.plane).seen_m2).max(0.0))
            .sum();
        let mut far_m2 = walls_m2;
        let mut thrown_back_m2 = [walls_m2; STATES];
        for section in sections {
            let far = section.facings(facings).iter().filter(|f| f.seen_m2 < 0.0);
            for facing in far {
                far_m2 -= facing.seen_m2;
                for (state, thrown_back_m2) in thrown_back_m2.iter_mut().enumerate() {
                    let stack = &section.stack(state).stack;
                    *thrown_back_m2 -= facing.seen_m2 * stack.reflectance_from_inside(facing.place);
                }
            }
        }
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
