//! The sun of an instant as the balance takes it: watts absorbed by each part of the house.

use overwinter_physics::longwave::MAX_LAYERS;
use overwinter_physics::number::Real;

use crate::house::House;
use crate::light_shares::{LightEnds, LightShares};
use crate::sunlight::LightRow;

/// Heat that each part absorbs from the sun, W on the whole part.
#[derive(Clone, Debug)]
pub struct AbsorbedSun<R> {
    /// Cover layers, by section and layer.
    pub absorbed_w: Vec<[R; MAX_LAYERS]>,
    /// Light that each section would let in dry.
    pub dry_light_w: Vec<R>,
    /// Outer face of each wall.
    pub wall_outside_w: Vec<R>,
    /// Inner face of each wall.
    pub wall_inside_w: Vec<R>,
    /// Canopy.
    pub leaf_w: R,
    /// Floor columns.
    pub floor_w: [R; 2],
    /// Thermal mass.
    pub mass_w: R,
    /// House air, by way of the frame.
    pub air_w: R,
    /// All parts inside together.
    pub inside_w: R,
    /// Cover layers and outer faces of walls together.
    pub shell_w: R,
    /// True if nothing is absorbed anywhere, in any lane.
    pub is_dark: bool,
}

/// The light of an instant on a house, and where light ends in it.
#[derive(Clone, Copy, Debug)]
pub struct Light<'a> {
    /// Sun on the shell.
    pub sun: LightRow<'a>,
    /// Where light ends, for the state of the screens.
    pub shares: &'a LightShares,
}

impl<R: Real> AbsorbedSun<R> {
    /// No sun.
    pub fn dark(sections: usize, walls: usize) -> Self {
        let zero = R::zero();
        Self {
            absorbed_w: vec![[zero; MAX_LAYERS]; sections],
            dry_light_w: vec![zero; sections],
            wall_outside_w: vec![zero; walls],
            wall_inside_w: vec![zero; walls],
            leaf_w: zero,
            floor_w: [zero; 2],
            mass_w: zero,
            air_w: zero,
            inside_w: zero,
            shell_w: zero,
            is_dark: true,
        }
    }

    /// Fills one lane with the sun of an instant.
    ///
    /// `closed` is 1 for each section whose screen is drawn, `kept` the share of its light that
    /// water on the cover leaves.
    pub fn fill(&mut self, lane: usize, house: &House, light: Light<'_>, closed: &[R], kept: &[R]) {
        let Light { sun, shares } = light;
        let mut beam_w = 0.0;
        let mut diffuse_w = 0.0;
        let mut shell_w = 0.0;
        let mut dry_beam_w = 0.0;
        let drawn = closed.iter().any(|closed| closed.lane(lane) > 0.5);
        for (section, absorbed) in self.absorbed_w.iter_mut().enumerate() {
            let light = sun.section(section, closed[section].lane(lane) > 0.5);
            self.dry_light_w[section].set_lane(lane, light.beam_w + light.diffuse_w);
            dry_beam_w += light.beam_w;
            beam_w += light.beam_w * kept[section].lane(lane);
            diffuse_w += light.diffuse_w * kept[section].lane(lane);
            for (layer, heat_w) in absorbed.iter_mut().zip(light.absorbed_w) {
                layer.set_lane(lane, *heat_w);
                shell_w += heat_w;
            }
        }
        for (wall, heat_w) in self.wall_outside_w.iter_mut().zip(sun.walls_w()) {
            wall.set_lane(lane, *heat_w);
            shell_w += heat_w;
        }
        let ends = |of: &dyn Fn(&LightEnds) -> f64| {
            beam_w * of(&shares.beam) + diffuse_w * of(&shares.diffuse)
        };
        for (section, absorbed) in self.absorbed_w.iter_mut().enumerate() {
            let layers = house.sections[section].layers.len();
            for (layer, into) in absorbed.iter_mut().enumerate().take(layers) {
                let heat_w = ends(&|e| e.layers[section][layer]);
                into.set_lane(lane, into.lane(lane) + heat_w);
                shell_w += heat_w;
            }
        }
        let mut inside_w = 0.0;
        let mut put = |into: &mut R, heat_w: f64| {
            into.set_lane(lane, heat_w);
            inside_w += heat_w;
        };
        // Beams that cross the house lose as much to water on the cover as those that do not.
        let beam_kept = if dry_beam_w > 0.0 {
            beam_w / dry_beam_w
        } else {
            1.0
        };
        let crossed = sun.walls_inside_w(drawn);
        for (wall, into) in self.wall_inside_w.iter_mut().enumerate() {
            put(into, ends(&|e| e.walls[wall]) + crossed[wall] * beam_kept);
        }
        put(&mut self.leaf_w, ends(&|e| e.crop));
        put(&mut self.mass_w, ends(&|e| e.mass));
        put(&mut self.air_w, ends(&|e| e.air));
        let floor_w = ends(&|e| e.floor);
        for (column, into) in house.floor.columns.iter().zip(&mut self.floor_w) {
            put(into, floor_w * column.area_m2 / house.floor_area_m2);
        }
        self.inside_w.set_lane(lane, inside_w);
        self.shell_w.set_lane(lane, shell_w);
    }
}
