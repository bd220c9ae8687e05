//! A section ready for every hour: its stacks and its place in a row; and what the far side does with
//! the beam that crosses the house.

use overwinter_physics::film_optics::{MAX_SHEETS, StackOptics};

use super::lit_planes::{DIFFUSE_SOURCES, Facing, HourOnPlanes, LightOnWall, Plane};
use super::optics::{SectionOptics, WallOptics, beam_kept_share, stack_optics};

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
    /// Index of its first plane among those of all sections, and its number of planes.
    planes: [usize; 2],
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

/// What the sides away from the sun do with the beams of an hour that cross the house.
pub(super) struct FarSide {
    /// Share of every beam that crosses.
    pub(super) crossing_share: f64,
    /// One over their area as seen from the sun.
    per_far_m2: f64,
    /// Share of what crosses that they throw back, with screens open and closed.
    thrown_back: [f64; STATES],
}

impl SectionPlan {
    /// Takes the next columns of a row and the next planes.
    pub(super) fn new(
        optics: &SectionOptics,
        planes: &[Plane],
        width: &mut usize,
        first_plane: &mut usize,
    ) -> Self {
        let layers = optics.layers();
        let mut next_block = || {
            let at = *width;
            *width += LIGHT_COLUMNS + layers;
            at
        };
        let open_at = next_block();
        let mut stacks = vec![StackPlan::new(optics, planes, false, open_at)];
        let mut at = [open_at; STATES];
        if optics.has_screen {
            at[1] = next_block();
            stacks.push(StackPlan::new(optics, planes, true, at[1]));
        }
        let first = *first_plane;
        *first_plane += planes.len();
        Self {
            block: Block { at, layers },
            planes: [first, planes.len()],
            stacks,
        }
    }

    fn facings<'a>(&self, of_all: &'a [Facing]) -> &'a [Facing] {
        let [first, count] = self.planes;
        &of_all[first..first + count]
    }

    /// The stack with screens open (0) or closed (1).
    fn stack(&self, state: usize) -> &StackPlan {
        &self.stacks[state.min(self.stacks.len() - 1)]
    }

    /// Adds the diffuse light of an hour to a row.
    pub(super) fn add_diffuse(&self, light: &HourOnPlanes, row: &mut [f64]) {
        for stack in &self.stacks {
            row[stack.at + 1] += product(&stack.lets_in_m2, &light.diffuse_w_m2);
            let layers = &mut row[stack.first_layer_at..];
            for (absorbs_m2, heat_w) in stack.absorbs_m2.iter().zip(layers) {
                *heat_w += product(absorbs_m2, &light.diffuse_w_m2);
            }
        }
    }

    /// Adds the beam of an hour to a row, and the part that goes on to the far side to
    /// `crossed_w`.
    pub(super) fn add_beam(
        &self,
        beam_w_m2: f64,
        facings: &[Facing],
        far_side: &FarSide,
        row: &mut [f64],
        crossed_w: &mut [f64; STATES],
    ) {
        let mut beam_in_w = [0.0; STATES];
        for (stack, beam_in_w) in self.stacks.iter().zip(&mut beam_in_w) {
            *beam_in_w = stack.add_lit(beam_w_m2, self.facings(facings), row);
        }
        if self.stacks.len() < STATES {
            beam_in_w[1] = beam_in_w[0];
        }
        for (state, stack) in self.stacks.iter().enumerate() {
            let crosses_w = beam_in_w[state] * far_side.crossing_share;
            row[stack.at] += beam_in_w[state] - crosses_w;
            row[stack.at + 1] += crosses_w * far_side.thrown_back[state];
        }
        for (crossed_w, beam_w) in crossed_w.iter_mut().zip(beam_in_w) {
            *crossed_w += beam_w * far_side.crossing_share;
        }
    }

    /// Adds the heat that layers absorb from beams that have crossed the house.
    pub(super) fn add_crossed(
        &self,
        facings: &[Facing],
        far_side: &FarSide,
        row: &mut [f64],
        crossed_w: &[f64; STATES],
    ) {
        for (stack, crossed_w) in self.stacks.iter().zip(crossed_w) {
            let mut heat_w = stack.heat_w(row);
            for facing in far(self.facings(facings)) {
                let arriving_w = -facing.seen_m2 * far_side.per_far_m2 * crossed_w;
                let shares = stack.stack.beam_from_inside(facing.place);
                for (heat_w, share) in heat_w.iter_mut().zip(shares.absorptance) {
                    *heat_w += arriving_w * share;
                }
            }
            stack.put_heat(&heat_w, row);
        }
    }
}

fn far(facings: &[Facing]) -> impl Iterator<Item = &Facing> {
    facings.iter().filter(|facing| facing.seen_m2 < 0.0)
}

fn product(area_m2: &[f64; DIFFUSE_SOURCES], light_w_m2: &[f64; DIFFUSE_SOURCES]) -> f64 {
    area_m2.iter().zip(light_w_m2).map(|(a, b)| a * b).sum()
}

impl StackPlan {
    fn new(optics: &SectionOptics, planes: &[Plane], screen_closed: bool, at: usize) -> Self {
        let layers = optics.lit_layers(screen_closed);
        let stack = stack_optics(layers);
        let mut lets_in_m2 = [0.0; DIFFUSE_SOURCES];
        let mut absorbs_m2 = vec![[0.0; DIFFUSE_SOURCES]; layers.len()];
        for plane in planes {
            let shares = [
                stack.diffuse_from_sky(plane.tilt_deg),
                stack.diffuse_from_horizon(plane.tilt_deg),
                stack.diffuse_from_ground(plane.tilt_deg),
            ];
            for (source, (shares, area_m2)) in shares.iter().zip(plane.diffuse_m2).enumerate() {
                let lit_m2 = area_m2 * optics.light_kept_share;
                lets_in_m2[source] += lit_m2 * shares.transmittance;
                for (absorbs_m2, share) in absorbs_m2.iter_mut().zip(&shares.absorptance) {
                    absorbs_m2[source] += lit_m2 * share;
                }
            }
        }
        Self {
            at,
            first_layer_at: at + LIGHT_COLUMNS + optics.layers() - layers.len(),
            beam_kept_share: beam_kept_share(layers),
            light_kept_share: optics.light_kept_share,
            lets_in_m2,
            absorbs_m2,
            stack,
        }
    }

    /// Adds what planes that face the sun scatter and absorb of a beam, and gives what they let in as
    /// a beam, W.
    fn add_lit(&self, beam_w_m2: f64, facings: &[Facing], row: &mut [f64]) -> f64 {
        let mut beam_in_w = 0.0;
        let mut scattered_w = row[self.at + 1];
        let mut heat_w = self.heat_w(row);
        for facing in facings.iter().filter(|facing| facing.seen_m2 > 0.0) {
            let beam_w = beam_w_m2 * facing.seen_m2 * self.light_kept_share;
            let shares = self.stack.beam_from_outside(facing.place);
            let through_w = beam_w * shares.transmittance;
            scattered_w += through_w * (1.0 - self.beam_kept_share);
            for (heat_w, share) in heat_w.iter_mut().zip(shares.absorptance) {
                *heat_w += beam_w * share;
            }
            beam_in_w += through_w * self.beam_kept_share;
        }
        row[self.at + 1] = scattered_w;
        self.put_heat(&heat_w, row);
        beam_in_w
    }

    /// Heat absorbed in each lit layer so far, out of the row.
    fn heat_w(&self, row: &[f64]) -> [f64; MAX_SHEETS] {
        let mut heat_w = [0.0; MAX_SHEETS];
        let sheets = self.stack.sheets();
        heat_w[..sheets].copy_from_slice(&row[self.first_layer_at..][..sheets]);
        heat_w
    }

    fn put_heat(&self, heat_w: &[f64; MAX_SHEETS], row: &mut [f64]) {
        let sheets = self.stack.sheets();
        row[self.first_layer_at..][..sheets].copy_from_slice(&heat_w[..sheets]);
    }
}

impl FarSide {
    pub(super) fn new(
        sections: &[SectionPlan],
        walls: &[WallOptics],
        light: &HourOnPlanes,
        facings: &[Facing],
        on_walls: &[LightOnWall],
    ) -> Self {
        let crossing = light.crossing;
        if crossing.far_m2 <= 0.0 {
            // Nothing to cross to: what misses the floor is spread about.
            let thrown_back = if crossing.share > 0.0 { 1.0 } else { 0.0 };
            return Self {
                crossing_share: crossing.share,
                per_far_m2: 0.0,
                thrown_back: [thrown_back; STATES],
            };
        }
        let mut thrown_back_m2 = [0.0_f64; STATES];
        for (wall, on_wall) in walls.iter().zip(on_walls) {
            for thrown_back_m2 in &mut thrown_back_m2 {
                *thrown_back_m2 += on_wall.seen_inside_m2 * (1.0 - wall.inside);
            }
        }
        for section in sections {
            let [open, closed] = [0, 1].map(|state| &section.stack(state).stack);
            for facing in far(section.facings(facings)) {
                let back = |stack: &StackOptics| {
                    facing.seen_m2 * stack.beam_from_inside(facing.place).reflectance
                };
                let back_m2 = back(open);
                thrown_back_m2[0] -= back_m2;
                thrown_back_m2[1] -= if section.stacks.len() < STATES {
                    back_m2
                } else {
                    back(closed)
                };
            }
        }
        Self {
            crossing_share: crossing.share,
            per_far_m2: 1.0 / crossing.far_m2,
            thrown_back: thrown_back_m2.map(|area_m2| area_m2 / crossing.far_m2),
        }
    }

    /// Adds the heat that inner faces of walls absorb from beams that have crossed the house: all
    /// walls with screens open, then all with screens closed.
    pub(super) fn warm_walls(
        &self,
        walls: &[WallOptics],
        on_walls: &[LightOnWall],
        row: &mut [f64],
        crossed_w: &[f64; STATES],
    ) {
        for (at, (wall, on_wall)) in walls.iter().zip(on_walls).enumerate() {
            let share = on_wall.seen_inside_m2 * self.per_far_m2 * wall.inside;
            for (state, crossed_w) in crossed_w.iter().enumerate() {
                row[state * walls.len() + at] += share * crossed_w;
            }
        }
    }
}
