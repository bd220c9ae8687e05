//! An overhang above a window and fins beside it: what they leave of beam and diffuse light.
//!
//! Overhang and fins stand at right angles to the window; the overhang is as wide and the fins are as
//! high as it takes to shade all of the window. They are black: what they would reflect is left out,
//! and so is their place in the longwave view.

use super::lit_planes::DIFFUSE_SOURCES;
use crate::house::{Facet, Shade, Shading};

/// The shade of a window, ready for every hour.
#[derive(Clone, Copy, Debug)]
pub(super) struct ShadePlan {
    shading: Shading,
    /// Outward normal, along the window to its right, up along the window.
    axes: [[f64; 3]; 3],
}

impl ShadePlan {
    pub(super) fn new(shading: Shading, facet: &Facet, normal: [f64; 3]) -> Self {
        let (sin_tilt, cos_tilt) = facet.tilt_deg.to_radians().sin_cos();
        let (sin_azimuth, cos_azimuth) = facet.azimuth_deg.to_radians().sin_cos();
        let right = [cos_azimuth, -sin_azimuth, 0.0];
        let up = [-cos_tilt * sin_azimuth, -cos_tilt * cos_azimuth, sin_tilt];
        Self {
            shading,
            axes: [normal, right, up],
        }
    }

    /// Share of the window in the sun, from the direction to it (of any length).
    pub(super) fn lit_share(&self, to_sun: [f64; 3]) -> f64 {
        let [out, right, up] = self
            .axes
            .map(|axis| axis.iter().zip(to_sun).map(|(a, s)| a * s).sum::<f64>());
        if out <= 0.0 {
            return 1.0;
        }
        // A shadow is as long as the depth times the slope of the ray against the normal.
        let below = |shade: Option<Shade>, slope: f64, length_m: f64| {
            shade.map_or(1.0, |shade| {
                let shaded_m = (shade.depth_m * slope - shade.distance_m).clamp(0.0, length_m);
                1.0 - shaded_m / length_m
            })
        };
        let Shading {
            overhang,
            fins,
            width_m,
            height_m,
        } = self.shading;
        below(overhang, up.max(0.0) / out, height_m) * below(fins, right.abs() / out, width_m)
    }

    /// What is left of even sky, horizon and ground.
    pub(super) fn diffuse_shares(&self) -> [f64; DIFFUSE_SOURCES] {
        let Shading {
            overhang,
            fins,
            width_m,
            height_m,
        } = self.shading;
        let between_fins = (1.0 - 2.0 * view_of(fins, width_m)).max(0.0);
        // The overhang hides sky alone, which is half of what an upright window sees.
        let under_overhang = (1.0 - view_of(overhang, height_m) / 0.5).max(0.0);
        [under_overhang * between_fins, between_fins, between_fins]
    }
}

/// View factor from a window of a length to a long shade at its end, by crossed strings.
fn view_of(shade: Option<Shade>, length_m: f64) -> f64 {
    shade.map_or(
        0.0,
        |Shade {
             depth_m,
             distance_m,
         }| {
            let far_m = length_m + distance_m;
            (length_m + depth_m.hypot(distance_m) - depth_m.hypot(far_m)) / (2.0 * length_m)
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use overwinter_physics::sun::plane_normal;

    fn plan(overhang: Option<Shade>, fins: Option<Shade>) -> ShadePlan {
        let facet = Facet {
            area_m2: 6.0,
            tilt_deg: 90.0,
            azimuth_deg: 180.0,
        };
        let shading = Shading {
            overhang,
            fins,
            width_m: 3.0,
            height_m: 2.0,
        };
        ShadePlan::new(shading, &facet, plane_normal(90.0, 180.0))
    }

    const METRE: Shade = Shade {
        depth_m: 1.0,
        distance_m: 0.5,
    };

    /// By hand: the sun 45 degrees up in the south throws the edge of a 1 m overhang 1 m down, half a
    /// metre of it onto the window; 60 degrees up, 1.732 - 0.5 of 2 m.
    #[test]
    fn an_overhang_shades_from_the_top() {
        let plan = plan(Some(METRE), None);
        assert!((plan.lit_share([0.0, -1.0, 1.0]) - 0.75).abs() < 1e-12);
        let steep = [0.0, -1.0, 3.0_f64.sqrt()];
        assert!((plan.lit_share(steep) - (1.0 - 1.232_050_8 / 2.0)).abs() < 1e-7);
        assert!((plan.lit_share([0.0, -1.0, 0.2]) - 1.0).abs() < 1e-12);
        assert!(plan.lit_share([0.0, -1.0, 9.0]).abs() < 1e-12);
    }

    /// From 45 degrees to either side a fin 1 m deep at the edge shades 1 m of 3 m.
    #[test]
    fn fins_shade_from_the_side() {
        let edge = Shade {
            depth_m: 1.0,
            distance_m: 0.0,
        };
        let plan = plan(None, Some(edge));
        for east in [-1.0, 1.0] {
            assert!((plan.lit_share([east, -1.0, 0.3]) - 2.0 / 3.0).abs() < 1e-12);
        }
    }

    /// An overhang as deep as the window is high, at its edge, fills 1 - sqrt(2)/2 of its view
    /// (crossed strings, two faces at right angles); without depth nothing is lost.
    #[test]
    fn diffuse_light_is_lost_by_view() {
        let square = Shade {
            depth_m: 2.0,
            distance_m: 0.0,
        };
        let view = 1.0 - 0.5 * 2.0_f64.sqrt();
        let [sky, horizon, ground] = plan(Some(square), None).diffuse_shares();
        assert!((sky - (1.0 - 2.0 * view)).abs() < 1e-12);
        assert!((horizon - 1.0).abs() < 1e-12 && (ground - 1.0).abs() < 1e-12);
        let none = plan(None, None).diffuse_shares();
        assert!(none.iter().all(|share| (share - 1.0).abs() < 1e-12));
    }
}
