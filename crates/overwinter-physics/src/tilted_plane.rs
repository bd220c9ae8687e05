//! Diffuse and ground-reflected radiation on a tilted plane.
//!
//! The sky is split in an even part, a part around the sun and a band at the horizon (Perez); the
//! even sky alone is there for comparison. Left out: hills and neighbours on the horizon.

use crate::sun::relative_air_mass_kasten_young1989;

/// Upper bounds of the first seven clearness bins (Perez et al. 1990, table 1).
const CLEARNESS_BOUNDS: [f64; 7] = [1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2];

/// F11, F12, F13, F21, F22, F23 of each clearness bin (Perez et al. 1990, table 6, the set for all
/// sites together).
const BRIGHTNESS: [[f64; 6]; 8] = [
    [-0.008, 0.588, -0.062, -0.060, 0.072, -0.022],
    [0.130, 0.683, -0.151, -0.019, 0.066, -0.029],
    [0.330, 0.487, -0.221, 0.055, -0.064, -0.026],
    [0.568, 0.187, -0.295, 0.109, -0.152, -0.014],
    [0.873, -0.392, -0.362, 0.226, -0.462, 0.001],
    [1.132, -1.237, -0.412, 0.288, -0.823, 0.056],
    [1.060, -1.600, -0.359, 0.264, -1.127, 0.131],
    [0.678, -0.327, -0.250, 0.156, -1.377, 0.251],
];

/// Cosine of 85 degrees: a lower sun counts as standing there in the circumsolar part.
const LEAST_COS_ZENITH: f64 = 0.087_155_742_747_658_17;

/// Diffuse irradiance of a tilted plane by where it comes from, W/m2 of the plane.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TiltedDiffuse {
    /// From the even sky.
    pub even_w_m2: f64,
    /// From around the sun; it falls in from the sun's direction.
    pub circumsolar_w_m2: f64,
    /// From the band at the horizon; negative under an overcast sky, which is darker there.
    pub horizon_w_m2: f64,
}

impl TiltedDiffuse {
    /// All parts together, never below 0.
    pub fn total_w_m2(&self) -> f64 {
        (self.even_w_m2 + self.circumsolar_w_m2 + self.horizon_w_m2).max(0.0)
    }
}

/// The diffuse sky of one hour, in parts that each plane takes in its own proportion.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DiffuseSky {
    /// Even part, W/m2 of a plane that sees the whole sky.
    pub even_w_m2: f64,
    /// Part around the sun, W/m2 of a plane normal to it.
    pub circumsolar_w_m2: f64,
    /// Band at the horizon, W/m2 of an upright plane; negative where it is darker than the sky.
    pub horizon_w_m2: f64,
}

impl DiffuseSky {
    /// A sky equally bright all over.
    pub fn isotropic(diffuse_horizontal_w_m2: f64) -> Self {
        Self {
            even_w_m2: diffuse_horizontal_w_m2.max(0.0),
            ..Self::default()
        }
    }

    /// The anisotropic sky of one hour.
    ///
    /// ```text
    /// clearness  = ((D + I) / D + 1.041 z^3) / (1 + 1.041 z^3)      z in rad
    /// brightness = D m / I0
    /// F1 = F11 + F12 brightness + F13 z, held between 0 and 1
    /// F2 = F21 + F22 brightness + F23 z
    /// ```
    ///
    /// with D diffuse horizontal, I direct normal, I0 extraterrestrial normal irradiance and m the
    /// relative air mass of Kasten and Young. Without diffuse light, or with the sun on or below
    /// the horizon, the sky is even. Negative irradiance counts as none.
    /// Deviation: the paper sets no upper bound to F1; only irradiance in error reaches it.
    ///
    /// # References
    /// R. Perez, P. Ineichen, R. Seals, J. Michalsky, R. Stewart (1990), "Modeling daylight
    /// availability and irradiance components from direct and global irradiance", Solar Energy
    /// 44(5), 271-289, equations 1, 2 and 9, tables 1 and 6.
    pub fn perez1990(
        diffuse_horizontal_w_m2: f64,
        direct_normal_w_m2: f64,
        extraterrestrial_normal_w_m2: f64,
        cos_zenith: f64,
    ) -> Self {
        let zenith_deg = cos_zenith.clamp(-1.0, 1.0).acos().to_degrees();
        let air_mass = relative_air_mass_kasten_young1989(zenith_deg);
        let brightness = diffuse_horizontal_w_m2 * air_mass / extraterrestrial_normal_w_m2;
        Self::perez1990_of_brightness(
            diffuse_horizontal_w_m2,
            direct_normal_w_m2,
            brightness,
            cos_zenith,
        )
    }

    fn perez1990_of_brightness(
        diffuse_horizontal_w_m2: f64,
        direct_normal_w_m2: f64,
        brightness: f64,
        cos_zenith: f64,
    ) -> Self {
        if !(diffuse_horizontal_w_m2 > 0.0 && cos_zenith > 0.0) {
            return Self::isotropic(diffuse_horizontal_w_m2);
        }
        let zenith_rad = cos_zenith.min(1.0).acos();
        let bend = 1.041 * zenith_rad.powi(3);
        let beam_to_diffuse = direct_normal_w_m2.max(0.0) / diffuse_horizontal_w_m2;
        let clearness = (1.0 + beam_to_diffuse + bend) / (1.0 + bend);
        let bin = CLEARNESS_BOUNDS.partition_point(|bound| *bound <= clearness);
        let [f11, f12, f13, f21, f22, f23] = BRIGHTNESS[bin];
        let circumsolar = (f11 + f12 * brightness + f13 * zenith_rad).clamp(0.0, 1.0);
        let horizon = f21 + f22 * brightness + f23 * zenith_rad;
        Self {
            even_w_m2: diffuse_horizontal_w_m2 * (1.0 - circumsolar),
            circumsolar_w_m2: diffuse_horizontal_w_m2 * circumsolar
                / cos_zenith.max(LEAST_COS_ZENITH),
            horizon_w_m2: diffuse_horizontal_w_m2 * horizon,
        }
    }

    /// Diffuse irradiance from the sky on a tilted plane.
    ///
    /// ```text
    /// even        = D (1 - F1) (1 + cos b) / 2
    /// circumsolar = D F1 max(0, cos i) / max(cos z, cos 85 deg)
    /// horizon     = D F2 sin b
    /// ```
    ///
    /// with b the tilt of the plane and i the angle between the sun and its normal.
    ///
    /// # References
    /// As [`DiffuseSky::perez1990`], equation 9.
    pub fn on_plane(&self, cos_tilt: f64, cos_incidence: f64) -> TiltedDiffuse {
        let sin_tilt = (1.0 - cos_tilt * cos_tilt).max(0.0).sqrt();
        TiltedDiffuse {
            even_w_m2: self.even_w_m2 * 0.5 * (1.0 + cos_tilt),
            circumsolar_w_m2: self.circumsolar_w_m2 * cos_incidence.max(0.0),
            horizon_w_m2: self.horizon_w_m2 * sin_tilt,
        }
    }
}

/// Irradiance of a tilted plane by light from the ground, W/m2 of the plane.
///
/// ```text
/// reflected = global_horizontal albedo (1 - cos b) / 2
/// ```
///
/// The ground is even and scatters evenly.
///
/// # References
/// J. A. Duffie and W. A. Beckman, "Solar Engineering of Thermal Processes", equation 2.15.1.
///
/// ```
/// use overwinter_physics::tilted_plane::ground_reflected_w_m2;
/// // Example 2.15.1: 1.04 MJ/m2 on snow of albedo 0.6, plane at 60 degrees: 0.156 MJ/m2.
/// assert!((ground_reflected_w_m2(1.04, 0.6, 0.5) - 0.156).abs() < 1e-12);
/// ```
pub fn ground_reflected_w_m2(global_horizontal_w_m2: f64, albedo: f64, cos_tilt: f64) -> f64 {
    global_horizontal_w_m2 * albedo * 0.5 * (1.0 - cos_tilt)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sun::plane_normal;

    fn cos_incidence(zenith_deg: f64, azimuth_deg: f64, normal: [f64; 3]) -> f64 {
        let sun = plane_normal(zenith_deg, azimuth_deg);
        sun.iter().zip(normal).map(|(a, b)| a * b).sum()
    }

    #[test]
    fn perez_follows_published_test_data() {
        // Test data of an open library for photovoltaics (coefficient set "allsitescomposite1990"):
        // plane at tilt 40 facing south, extraterrestrial 1321.16558348 W/m2; direct normal,
        // diffuse horizontal, zenith, azimuth, air mass -> total, even, circumsolar, horizon.
        let cos_tilt = f64::to_radians(40.0).cos();
        for (hour, expected) in [
            (
                [
                    316.1949056,
                    40.46149818,
                    82.85457044,
                    66.71410338,
                    7.58831596,
                ],
                [31.46046871, 26.84138589, 0.0, 4.62212181],
            ),
            (
                [
                    646.22886049,
                    62.03376265,
                    72.41687122,
                    287.04104128,
                    3.27930443,
                ],
                [45.45539877, 31.72696071, 4.47966439, 9.25316454],
            ),
        ] {
            let [direct, diffuse, zenith_deg, azimuth_deg, air_mass] = hour;
            let facing = cos_incidence(zenith_deg, azimuth_deg, plane_normal(40.0, 180.0));
            let cos_zenith = f64::to_radians(zenith_deg).cos();
            let sky = DiffuseSky::perez1990(diffuse, direct, 1321.1655834833093, cos_zenith);
            let got = sky.on_plane(cos_tilt, facing);
            let brightness = diffuse * air_mass / 1321.1655834833093;
            let given =
                DiffuseSky::perez1990_of_brightness(diffuse, direct, brightness, cos_zenith);
            assert!(
                (given.on_plane(cos_tilt, facing).total_w_m2() - got.total_w_m2()).abs() < 0.01
            );
            let parts = [
                got.total_w_m2(),
                got.even_w_m2,
                got.circumsolar_w_m2,
                got.horizon_w_m2,
            ];
            for (part, wanted) in parts.into_iter().zip(expected) {
                assert!((part - wanted).abs() < 0.01, "{got:?} {expected:?}");
            }
        }
    }

    #[test]
    fn textbook_hour_with_an_even_sky() {
        // Duffie and Beckman, example 2.15.1 (tilt 60 south, lat 40, 20 February, 9 to 10 h, ground
        // 0.60), in MJ/m2: diffuse part 0.597, ground part 0.156, total 1.171 with beam 0.418.
        let even = DiffuseSky::isotropic(0.7961).on_plane(0.5, 0.7990);
        let ground = ground_reflected_w_m2(1.04, 0.60, 0.5);
        assert!((even.total_w_m2() - 0.597).abs() < 6e-4);
        assert!((0.2439 * 1.7133 + even.total_w_m2() + ground - 1.171).abs() < 6e-4);
    }

    #[test]
    fn textbook_hour_with_the_perez_sky() {
        // Duffie and Beckman, example 2.16.2, the same hour, air mass 1 / cos z; clearness 1.282,
        // brightness 0.340, F1 0.2555, F2 0.0050, total 1.370 evaluated apart from this code.
        let sky = DiffuseSky::perez1990_of_brightness(0.7961, 0.2439 / 0.4664, 0.340, 0.4664);
        assert!(
            (sky.even_w_m2 / 0.7961 - (1.0 - 0.2555)).abs() < 1e-3,
            "{sky:?}"
        );
        assert!((sky.horizon_w_m2 / 0.7961 - 0.0050).abs() < 1e-3, "{sky:?}");
        let total = 0.2439 * 1.7133 + sky.on_plane(0.5, 0.7990).total_w_m2() + 0.156;
        assert!((total - 1.370).abs() < 1e-3, "{total}");
    }

    #[test]
    fn a_flat_plane_gets_the_diffuse_light_of_the_horizontal() {
        for (direct, diffuse, cos_zenith) in
            [(0.0, 80.0, 0.3), (700.0, 90.0, 0.8), (5.0, 20.0, 0.1)]
        {
            let sky = DiffuseSky::perez1990(diffuse, direct, 1380.0, cos_zenith);
            let flat = sky.on_plane(1.0, cos_zenith).total_w_m2();
            assert!((flat - diffuse).abs() < 1e-9);
        }
    }

    #[test]
    fn night_and_odd_input_give_an_even_or_empty_sky() {
        let dark = DiffuseSky::perez1990(0.0, 900.0, 1380.0, 0.5).on_plane(0.3, 0.9);
        assert!(dark.total_w_m2().abs() < 1e-12);
        let dusk = DiffuseSky::perez1990(10.0, 0.0, 1380.0, -0.02).on_plane(0.0, 0.9);
        assert!((dusk.total_w_m2() - 5.0).abs() < 1e-12);
        let negative = DiffuseSky::perez1990(-3.0, -5.0, 1380.0, 0.5).on_plane(0.0, 0.9);
        assert!(negative.total_w_m2().abs() < 1e-12);
    }
}
