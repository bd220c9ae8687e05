use super::*;
use crate::cavity::en673;
use crate::error::PhysicsError;
use crate::longwave::exchange_factors;
use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;
use proptest::prelude::*;

type Checked = Result<(), PhysicsError>;

const PLAIN: (f64, f64) = (0.70, 0.08);
const INFRARED: (f64, f64) = (0.20, 0.08);
const INSIDE_K: f64 = 283.15;
const OUTSIDE_K: f64 = 263.15;

fn film((transmittance, reflectance): (f64, f64)) -> CoverLayer {
    CoverLayer::film(transmittance, reflectance)
}

fn still(gap_m: f64) -> CoverSpace {
    CoverSpace::StillAir {
        gap_m,
        bridge_w_m2k: 0.0,
    }
}

fn u_value(layers: &[CoverLayer], spaces: &[CoverSpace], depression_k: f64) -> f64 {
    let conditions = CoverConditions::night(INSIDE_K, OUTSIDE_K, depression_k);
    steady_cover(layers, spaces, &conditions)
        .expect("a valid cover")
        .u_w_m2k
}

/// Name, layers, spaces and U-values in W/m2 K.
type Row<'a, const N: usize> = (&'a str, &'a [CoverLayer], &'a [CoverSpace], [f64; N]);

/// Independent calculation of the same equations (a small solver with gas properties of its own):
/// house and floor 10 C, outdoors -10 C, 3 m/s, tilt 15 degrees, the whole outer view sky, the sky 0
/// to 25 K below the air. Double skins have 12 cm of air, the twin-wall sheet 8 mm between skins of
/// transmittance 0.02 without ribs, the collapsed pair 25 W/m2 K.
#[test]
fn heat_loss_of_nine_covers_under_six_skies() {
    let (plain, infrared) = (film(PLAIN), film(INFRARED));
    let sheet = film((0.02, 0.08));
    let pair = [still(0.12)];
    let touching = [CoverSpace::Conductance(25.0)];
    let table: [Row<6>; 9] = [
        (
            "single",
            &[plain],
            &[],
            [6.59, 7.33, 8.03, 8.69, 9.31, 9.89],
        ),
        (
            "single wet",
            &[plain.wet(1.0)],
            &[],
            [5.35, 5.66, 5.96, 6.24, 6.50, 6.75],
        ),
        (
            "glass",
            &[film((0.0, 0.10))],
            &[],
            [5.26, 5.57, 5.87, 6.14, 6.41, 6.66],
        ),
        (
            "pair",
            &[plain, plain],
            &pair,
            [4.28, 4.89, 5.47, 6.01, 6.53, 7.01],
        ),
        (
            "pair wet",
            &[plain.wet(1.0), plain],
            &pair,
            [3.01, 3.41, 3.80, 4.17, 4.51, 4.84],
        ),
        (
            "infrared pair",
            &[infrared, plain],
            &pair,
            [3.40, 3.88, 4.33, 4.75, 5.16, 5.54],
        ),
        (
            "infrared pair wet",
            &[infrared.wet(1.0), plain],
            &pair,
            [3.04, 3.45, 3.84, 4.21, 4.57, 4.90],
        ),
        (
            "twin wall",
            &[sheet, sheet],
            &[still(0.008)],
            [2.96, 3.13, 3.30, 3.45, 3.59, 3.73],
        ),
        (
            "collapsed",
            &[plain.wet(1.0), plain],
            &touching,
            [4.68, 5.02, 5.34, 5.64, 5.92, 6.19],
        ),
    ];
    for (name, layers, spaces, row) in table {
        for (step, expected) in row.into_iter().enumerate() {
            let found = u_value(layers, spaces, 5.0 * step as f64);
            assert!(
                (found / expected - 1.0).abs() < 0.01,
                "{name} {step}: {found} {expected}"
            );
        }
    }
}

/// The same source: pair of plain films, inner one wet, sky 20 and 2 K below the air, by gap.
#[test]
#[expect(clippy::approx_constant, reason = "3.14 W/m2 K is a heat loss")]
fn heat_loss_by_gap_thickness() {
    let table = [
        (1.0, 5.90, 4.80),
        (2.0, 5.55, 4.38),
        (5.0, 5.01, 3.74),
        (10.0, 4.65, 3.32),
        (15.0, 4.71, 3.41),
        (20.0, 4.71, 3.41),
        (30.0, 4.66, 3.35),
        (50.0, 4.59, 3.26),
        (100.0, 4.53, 3.19),
        (150.0, 4.50, 3.16),
        (200.0, 4.49, 3.14),
        (300.0, 4.48, 3.13),
    ];
    let layers = [film(PLAIN).wet(1.0), film(PLAIN)];
    for (gap_mm, clear, overcast) in table {
        for (depression_k, expected) in [(20.0, clear), (2.0, overcast)] {
            let found = u_value(&layers, &[still(gap_mm * 1e-3)], depression_k);
            assert!(
                (found / expected - 1.0).abs() < 0.02,
                "{gap_mm} mm: {found} {expected}"
            );
        }
    }
}

/// Published design ranges, per m2 of cover: any single glazing 5.7 to 6.8 W/m2 K and any double
/// glazing 3.4 to 4.0 (1.0 to 1.2 and 0.6 to 0.7 Btu/h ft2 F, extension guide on greenhouse
/// glazing), 8 mm twin-wall sheet 3.0 to 3.4 (R 1.69 to 1.87, trade tables). A greenhouse night:
/// condensation on the inner face and a sky 10 K below the air.
#[test]
fn handbook_covers_lie_in_their_published_ranges() {
    let plain = film(PLAIN);
    let sheet = film((0.02, 0.08));
    let covers: [Row<2>; 4] = [
        ("single film", &[plain.wet(1.0)], &[], [5.7, 6.8]),
        ("glass", &[film((0.0, 0.10)).wet(1.0)], &[], [5.7, 6.8]),
        (
            "film pair",
            &[plain.wet(1.0), plain],
            &[still(0.12)],
            [3.4, 4.0],
        ),
        (
            "twin wall",
            &[sheet.wet(1.0), sheet],
            &[still(0.008)],
            [3.0, 3.4],
        ),
    ];
    for (name, layers, spaces, [low, high]) in covers {
        let found = u_value(layers, spaces, 10.0);
        assert!((low..=high).contains(&found), "{name}: {found}");
    }
}

/// Wind at 3 m/s against calm matters for a single film under an overcast sky and hardly for a pair
/// under a clear one (independent calculation of the same equations: pair, inner film wet, clear,
/// 4.50 at 0.5 m/s to 4.52 at 8 m/s; overcast 3.05 to 3.22).
#[test]
fn wind_hardly_matters_to_a_pair_under_a_clear_sky() -> Checked {
    let layers = [film(PLAIN).wet(1.0), film(PLAIN)];
    let table = [
        (0.5, 20.0, 4.50),
        (8.0, 20.0, 4.52),
        (0.5, 2.0, 3.05),
        (8.0, 2.0, 3.22),
    ];
    for (wind_m_s, depression_k, expected) in table {
        let night = CoverConditions::night(INSIDE_K, OUTSIDE_K, depression_k);
        let result = steady_cover(
            &layers,
            &[still(0.12)],
            &CoverConditions { wind_m_s, ..night },
        )?;
        assert!(
            (result.u_w_m2k / expected - 1.0).abs() < 0.01,
            "{wind_m_s}: {}",
            result.u_w_m2k
        );
    }
    Ok(())
}

/// Room at 294.15 K, outdoors and sky 255.15 K, 5.5 m/s, panes upright and 1 m high.
fn winter_window() -> CoverConditions {
    CoverConditions {
        inside_air_k: 294.15,
        floor_k: 294.15,
        outside_air_k: 255.15,
        sky_k: 255.15,
        wind_m_s: 5.5,
        tilt_deg: 90.0,
        height_m: 1.0,
        floor_emissivity: 1.0,
        inside: InsideConvection::Room,
        outside: OutsideConvection::Opaque,
        ..CoverConditions::night(294.15, 255.15, 0.0)
    }
}

/// Outer face of the outer pane first, as windows are listed.
fn from_outside(result: &CoverResult) -> Vec<f64> {
    result
        .layers
        .iter()
        .rev()
        .flat_map(|faces| [faces.upper_k, faces.lower_k])
        .collect()
}

fn assert_close(found: &[f64], expected: &[f64], tolerance: f64) {
    assert_eq!(found.len(), expected.len());
    for (a, b) in found.iter().zip(expected) {
        assert!((a - b).abs() < tolerance, "{found:?} against {expected:?}");
    }
}

/// Test vector of an open glazing library of a national laboratory (ISO 15099, double clear).
#[test]
fn double_clear_window() -> Checked {
    let pane = CoverLayer::pane(0.84, 0.84, 0.003048, 1.0);
    let gap = CoverSpace::Gas {
        gap_m: 0.0127,
        gas: iso15099::AIR,
    };
    let result = steady_cover(&[pane, pane], &[gap], &winter_window())?;
    let expected = [258.791640, 259.116115, 279.323983, 279.648458];
    assert_close(&from_outside(&result), &expected, 0.01);
    let radiosities = [
        result.upward_w_m2[2],
        result.downward_w_m2[1],
        result.upward_w_m2[1],
        result.downward_w_m2[0],
    ];
    assert_close(
        &radiosities,
        &[252.066216, 267.938384, 332.786197, 359.178924],
        0.06,
    );
    assert!((result.u_w_m2k - 2.730).abs() < 2e-3, "{}", result.u_w_m2k);
    Ok(())
}

/// The same source: inner pane 5.715 mm, outer 3.18 mm with a low-emissivity face in the gap.
#[test]
fn low_emissivity_window() -> Checked {
    let inner = CoverLayer::pane(0.84, 0.84, 0.005715, 1.0);
    let outer = CoverLayer::pane(0.046578168869, 0.84, 0.00318, 1.0);
    let gap = CoverSpace::Gas {
        gap_m: 0.0127,
        gas: iso15099::AIR,
    };
    let result = steady_cover(&[inner, outer], &[gap], &winter_window())?;
    let expected = [257.398283, 257.607096, 284.597919, 284.973191];
    assert_close(&from_outside(&result), &expected, 0.01);
    assert!((result.u_w_m2k - 1.684).abs() < 2e-3, "{}", result.u_w_m2k);
    Ok(())
}

/// The same source: one clear pane, outdoors 300 K under a sky of 270 K, half of what an upright pane sees;
/// heat flows inwards.
#[test]
fn single_clear_window_in_summer() -> Checked {
    let pane = CoverLayer::pane(0.84, 0.84, 0.003048, 1.0);
    let conditions = CoverConditions {
        outside_air_k: 300.0,
        sky_k: 270.0,
        sky_share: 0.5,
        ..winter_window()
    };
    let result = steady_cover(&[pane], &[], &conditions)?;
    assert_close(&from_outside(&result), &[297.207035, 297.144700], 0.01);
    assert!(
        (result.heat_w_m2 + 20.450949).abs() < 0.1,
        "{}",
        result.heat_w_m2
    );
    Ok(())
}

/// With every coefficient stated, a cover is a row of resistances (EN 673 clear double glazing).
#[test]
fn stated_coefficients_add_as_resistances() -> Checked {
    // Faces with next to no emissivity leave conduction alone.
    let pane = CoverLayer::pane(0.001, 0.001, 0.004, 1.0);
    let gap = en673::Gap {
        thickness_m: 0.012,
        gas: en673::AIR,
        emissivities: [en673::GLASS_EMISSIVITY; 2],
    };
    let conductance = gap.conductance_w_m2k(en673::Position::Vertical, 15.0);
    let conditions = CoverConditions {
        inside: InsideConvection::Stated(en673::INSIDE_W_M2K),
        outside: OutsideConvection::Stated(en673::OUTSIDE_W_M2K),
        ..CoverConditions::night(293.15, 273.15, 0.0)
    };
    let spaces = [CoverSpace::Conductance(conductance)];
    let result = steady_cover(&[pane, pane], &spaces, &conditions)?;
    assert!((result.u_w_m2k - 2.850).abs() < 0.005, "{}", result.u_w_m2k);
    Ok(())
}

/// Two opaque films so far apart that the air between them is at rest and thick: the space adds
/// exactly the parallel plate resistance to that of a single film.
#[test]
fn wide_opaque_gap_leaves_parallel_plates() -> Checked {
    let skin = film((0.0, 0.10));
    let conditions = CoverConditions::night(INSIDE_K, OUTSIDE_K, 0.0);
    let result = steady_cover(&[skin, skin], &[CoverSpace::Conductance(0.0)], &conditions)?;
    let (lower_k, upper_k) = (result.layers[0].upper_k, result.layers[1].lower_k);
    let plates = STEFAN_BOLTZMANN_W_M2K4 * (lower_k.powi(4) - upper_k.powi(4)) / (2.0 / 0.9 - 1.0);
    assert!(
        (result.heat_w_m2 - plates).abs() < 1e-6,
        "{} {plates}",
        result.heat_w_m2
    );
    Ok(())
}

/// Two ways to the same radiation: the solver's fluxes and the exchange factors of an enclosure.
#[test]
fn radiation_is_that_of_the_exchange_factors() -> Checked {
    let layers = [film(INFRARED).wet(0.4), film(PLAIN), film(PLAIN)];
    let conditions = CoverConditions {
        floor_to_cover: 0.62,
        floor_k: 280.0,
        ..CoverConditions::night(INSIDE_K, OUTSIDE_K, 18.0)
    };
    let result = steady_cover(&layers, &[still(0.1), still(0.05)], &conditions)?;
    let longwave: Vec<_> = layers.iter().map(CoverLayer::effective).collect();
    let factors = exchange_factors(&longwave, conditions.floor_emissivity, 0.62);
    let mut temps_k: Vec<f64> = result.layers.iter().map(|faces| faces.lower_k).collect();
    temps_k.extend([conditions.floor_k, conditions.sky_k]);
    let floor_gain_w_m2: f64 = factors.gain[3]
        .iter()
        .zip(&temps_k)
        .map(|(gain, temp_k)| gain * STEFAN_BOLTZMANN_W_M2K4 * temp_k.powi(4))
        .sum();
    assert!(
        (floor_gain_w_m2 + result.radiation_w_m2).abs() < 1e-9,
        "{floor_gain_w_m2}"
    );
    Ok(())
}

#[test]
fn refusals_name_the_place() {
    let conditions = CoverConditions::night(INSIDE_K, OUTSIDE_K, 0.0);
    let skin = film(PLAIN);
    assert_eq!(
        steady_cover(&[], &[], &conditions),
        Err(PhysicsError::LayerCount {
            found: 0,
            most: MAX_COVER_LAYERS
        })
    );
    assert_eq!(
        steady_cover(&[skin, skin], &[], &conditions),
        Err(PhysicsError::SpaceCount {
            layers: 2,
            spaces: 0
        })
    );
    let error = steady_cover(&[skin, film((1.0, 0.0))], &[still(0.1)], &conditions)
        .expect_err("a layer that absorbs nothing");
    assert_eq!(
        error.to_string(),
        "layer 2 from the house: longwave emissivity is 0, it must be 0.001 to 1"
    );
    let error = steady_cover(&[skin, skin], &[still(f64::NAN)], &conditions)
        .expect_err("a gap that is no number");
    assert!(matches!(
        error,
        PhysicsError::Space {
            space: 1,
            what: "gap in m",
            ..
        }
    ));
}

proptest! {
    #[test]
    fn any_cover_settles_between_the_temperatures_around_it(
        films in prop::collection::vec((0.0..0.8_f64, 0.02..0.15_f64, 0.0..1.0_f64), 1..=4),
        gap_m in 0.001..0.4_f64,
        inside_k in 263.0..303.0_f64,
        outside_k in 233.0..303.0_f64,
        depression_k in 0.0..30.0_f64,
        floor_to_cover in 0.3..1.0_f64,
        tilt_deg in 0.0..90.0_f64,
    ) {
        let layers: Vec<_> =
            films.iter().map(|(tau, rho, wet)| film((*tau, *rho)).wet(*wet)).collect();
        let spaces = vec![still(gap_m); layers.len() - 1];
        let conditions = CoverConditions {
            floor_to_cover,
            tilt_deg,
            ..CoverConditions::night(inside_k, outside_k, depression_k)
        };
        let result = steady_cover(&layers, &spaces, &conditions);
        prop_assert!(result.is_ok(), "{result:?}");
        let result = result.expect("checked");
        let coldest_k = inside_k.min(outside_k - depression_k);
        let warmest_k = inside_k.max(outside_k);
        for faces in &result.layers {
            prop_assert!(faces.lower_k > coldest_k - 1e-6 && faces.lower_k < warmest_k + 1e-6);
        }
        let out_w_m2 = result.outside_w_m2k
            * (result.layers.last().expect("a layer").upper_k - outside_k)
            + result.upward_w_m2.last().expect("a space")
            - result.downward_w_m2.last().expect("a space");
        prop_assert!((result.heat_w_m2 - out_w_m2).abs() < 1e-5, "{} {out_w_m2}", result.heat_w_m2);
    }

    #[test]
    fn another_film_never_costs_heat(gap_m in 0.002..0.3_f64, depression_k in 0.0..25.0_f64) {
        let skin = film(PLAIN);
        let single = u_value(&[skin], &[], depression_k);
        let double = u_value(&[skin; 2], &[still(gap_m)], depression_k);
        let triple = u_value(&[skin; 3], &[still(gap_m); 2], depression_k);
        prop_assert!(triple < double && double < single);
    }
}
