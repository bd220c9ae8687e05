//! Covers and glazings: declared U-values, cavities, whole windows with their surface temperatures,
//! exchange of radiation, and a table of film covers by sky and wetness.

use overwinter_physics::cavity::en673::{
    AIR, ARGON, GLASS_EMISSIVITY, Gap, Gas, Position, u_value_w_m2k,
};
use overwinter_physics::cavity::iso15099;
use overwinter_physics::cover::{
    CoverConditions, CoverLayer, CoverResult, CoverSpace, InsideConvection, OutsideConvection,
    steady_cover,
};
use overwinter_physics::longwave::{LayerLongwave, exchange_factors, wet_lower_face};
use overwinter_tests::published::{Check, readme};

const EN_673: &str = "EN 673:2011, computed from the formula by other means";
const EN_10077: &str = "EN ISO 10077-1, table C.2, from memory";
const WINDOW_VECTORS: &str =
    "open glazing library of a national laboratory, test vectors (ISO 15099:2003)";
const SMALL_SOLVER: &str = "computed: the same equations solved by a separate program";

#[test]
fn glazing_and_covers() {
    let mut checks = declared_values();
    checks.push(cavities());
    checks.extend(windows());
    checks.extend(film_covers());
    readme::assert_current("Glazing and covers", &checks);
}

/// Pane-gap-pane with a gas and the emissivities of the faces in the gap.
fn double_w_m2k(gap_mm: f64, gas: Gas, inner_emissivity: f64) -> f64 {
    let gap = Gap {
        thickness_m: gap_mm * 1e-3,
        gas,
        emissivities: [GLASS_EMISSIVITY, inner_emissivity],
    };
    u_value_w_m2k(&[0.004, 0.004], &[gap], Position::Vertical)
}

/// A glazing of 4 mm panes, ours, the value computed from the standard's formulas, and what tables
/// print. Of 12 mm of air editions print 2.8 or 2.9.
type Declared = (&'static str, f64, f64, Option<f64>);

fn declared() -> Vec<Declared> {
    let argon_90 = ARGON.mixed(0.9, &AIR);
    let uncoated = GLASS_EMISSIVITY;
    let single = u_value_w_m2k(&[0.004], &[], Position::Vertical);
    vec![
        ("single", single, 5.751, Some(5.8)),
        (
            "6 mm air",
            double_w_m2k(6.0, AIR, uncoated),
            3.278,
            Some(3.3),
        ),
        (
            "8 mm air",
            double_w_m2k(8.0, AIR, uncoated),
            3.082,
            Some(3.1),
        ),
        ("12 mm air", double_w_m2k(12.0, AIR, uncoated), 2.850, None),
        (
            "16 mm air",
            double_w_m2k(16.0, AIR, uncoated),
            2.732,
            Some(2.7),
        ),
        (
            "20 mm air",
            double_w_m2k(20.0, AIR, uncoated),
            2.745,
            Some(2.7),
        ),
        (
            "12 mm argon",
            double_w_m2k(12.0, argon_90, uncoated),
            2.693,
            Some(2.7),
        ),
        (
            "16 mm argon",
            double_w_m2k(16.0, argon_90, uncoated),
            2.623,
            Some(2.6),
        ),
        // The table's 1.5 is for any emissivity up to 0.05 and not comparable.
        (
            "16 mm air, 0.05",
            double_w_m2k(16.0, AIR, 0.05),
            1.402,
            None,
        ),
        (
            "16 mm argon, 0.05",
            double_w_m2k(16.0, argon_90, 0.05),
            1.167,
            Some(1.2),
        ),
        (
            "16 mm argon, 0.03",
            double_w_m2k(16.0, argon_90, 0.03),
            1.103,
            Some(1.1),
        ),
        (
            "12 mm argon, 0.05",
            double_w_m2k(12.0, argon_90, 0.05),
            1.320,
            Some(1.3),
        ),
    ]
}

fn declared_values() -> Vec<Check> {
    let declared = declared();
    let computed = declared
        .iter()
        .map(|(_, ours, computed, _)| [*ours, *computed]);
    let computed: Vec<_> = computed.collect();
    let printed: Vec<_> = declared
        .iter()
        .filter_map(|(_, ours, _, printed)| Some([*ours, (*printed)?]))
        .collect();
    vec![
        Check::table(
            "declared U of 12 glazings, single to coated argon",
            EN_673,
            &computed,
            1e-3,
        )
        .unit("W/m2K"),
        Check::table(
            "the same against tables to one decimal",
            EN_10077,
            &printed,
            0.05,
        )
        .unit("W/m2K"),
    ]
}

/// Rayleigh number, aspect and the Nusselt number at 30, 60, 73, 90 and 134 degrees. Their source writes
/// the exponent 1/7 as 0.1428571, which alone moves the last row's 60 degrees by 7e-7 of the value.
const CAVITY_VECTORS: [(f64, f64, [f64; 5]); 3] = [
    (
        3_638.216_670_645_28,
        83.333_333_333_333_3,
        [
            1.404_743_492_002_54,
            1.080_057_423_427_89,
            1.057_030_420_798_92,
            1.026_918_186_591_79,
            1.019_363_322_968_42,
        ],
    ),
    (
        140.779_077_041_012,
        200.0,
        [
            1.0,
            1.000_027_774_390_94,
            1.000_022_355_118_65,
            1.000_015_268_377_95,
            1.000_010_983_151_95,
        ],
    ),
    (
        4_633_340.886_671_7,
        10.0,
        [
            10.268_098_154_528_8,
            11.597_550_226_109_6,
            11.439_852_967_310_1,
            11.233_633_475_034_0,
            8.361_460,
        ],
    ),
];

fn cavities() -> Check {
    let tilts_deg = [30.0, 60.0, 73.0, 90.0, 134.0];
    let rows = CAVITY_VECTORS.iter().flat_map(|(rayleigh, aspect, row)| {
        let ours = |(tilt_deg, published): (f64, f64)| {
            // As a share: the numbers run from 1 to 12.
            let ours = iso15099::nusselt(*rayleigh, *aspect, tilt_deg);
            [ours / published, 1.0]
        };
        tilts_deg
            .into_iter()
            .zip(*row)
            .map(ours)
            .collect::<Vec<_>>()
    });
    let case = "Nusselt number of a gas-filled cavity at five tilts, ratio to the vector";
    Check::table(case, WINDOW_VECTORS, &rows.collect::<Vec<_>>(), 1e-6)
}

/// An upright window 1 m high: room 294.15 K, outdoors and sky 255.15 K, 5.5 m/s.
fn winter() -> CoverConditions {
    CoverConditions {
        wind_m_s: 5.5,
        tilt_deg: 90.0,
        height_m: 1.0,
        floor_emissivity: 1.0,
        inside: InsideConvection::Room,
        outside: OutsideConvection::Opaque,
        ..CoverConditions::night(294.15, 255.15, 0.0)
    }
}

fn solved(layers: &[CoverLayer], spaces: &[CoverSpace], at: &CoverConditions) -> CoverResult {
    steady_cover(layers, spaces, at).expect("a sound cover")
}

fn sealed_air() -> CoverSpace {
    CoverSpace::Gas {
        gap_m: 0.0127,
        gas: iso15099::AIR,
    }
}

fn clear_pane() -> CoverLayer {
    CoverLayer::pane(0.84, 0.84, 0.003_048, 1.0)
}

/// Faces from the outside inwards beside the published temperatures.
fn face_pairs(result: &CoverResult, published_k: &[f64]) -> Vec<[f64; 2]> {
    let faces = result.layers.iter().rev();
    let ours_k: Vec<f64> = faces
        .flat_map(|face| [face.upper_k, face.lower_k])
        .collect();
    assert_eq!(ours_k.len(), published_k.len());
    ours_k
        .into_iter()
        .zip(published_k)
        .map(|(ours, published)| [ours, *published])
        .collect()
}

fn double_clear() -> CoverResult {
    solved(&[clear_pane(); 2], &[sealed_air()], &winter())
}

/// Panes of 5.715 and 3.18 mm, the outer one with a low-emissivity face in the gap.
fn coated() -> CoverResult {
    let inner = CoverLayer::pane(0.84, 0.84, 0.005_715, 1.0);
    let outer = CoverLayer::pane(0.046_578_168_869, 0.84, 0.003_18, 1.0);
    solved(&[inner, outer], &[sealed_air()], &winter())
}

/// One pane with 300 K outdoors under a sky of 270 K, half of what it sees; heat flows inwards.
fn single_in_summer() -> CoverResult {
    let at = CoverConditions {
        outside_air_k: 300.0,
        sky_k: 270.0,
        sky_share: 0.5,
        ..winter()
    };
    solved(&[clear_pane()], &[], &at)
}

/// Double glazing of 3 mm panes between fixed surface coefficients of 23 outside and 8 inside, 20 C
/// and 0 C, with a gap that conducts and radiates only.
fn fixed_coefficients() -> CoverResult {
    // The least emissivity that a pane may have, so that the coefficients stand for all of it.
    const NEXT_TO_NONE: f64 = 1e-3;
    let inner = CoverLayer::pane(NEXT_TO_NONE, 0.84, 0.003, 1.0);
    let outer = CoverLayer::pane(0.84, NEXT_TO_NONE, 0.003, 1.0);
    let at = CoverConditions {
        inside: InsideConvection::Stated(8.0),
        outside: OutsideConvection::Stated(23.0),
        ..CoverConditions::night(293.15, 273.15, 0.0)
    };
    // The gap's own mean temperature, found once with still air and then used.
    let conducting =
        |mean_k: f64| CoverSpace::Conductance(iso15099::AIR.conductivity_w_mk(mean_k) / 0.0127);
    let first = solved(&[inner, outer], &[conducting(283.15)], &at);
    let mean_k = 0.5 * (first.layers[0].upper_k + first.layers[1].lower_k);
    solved(&[inner, outer], &[conducting(mean_k)], &at)
}

/// Conduction, convection and radiation across the gap over the difference of its faces, as the
/// conductivity of a solid in its place.
fn effective_conductivity_w_mk(result: &CoverResult) -> f64 {
    let across_k = result.layers[0].upper_k - result.layers[1].lower_k;
    result.heat_w_m2 / across_k * 0.0127
}

fn windows() -> Vec<Check> {
    let (clear, coated, single) = (double_clear(), coated(), single_in_summer());
    let mut faces = face_pairs(
        &clear,
        &[258.791_640, 259.116_115, 279.323_983, 279.648_458],
    );
    faces.extend(face_pairs(
        &coated,
        &[257.398_283, 257.607_096, 284.597_919, 284.973_191],
    ));
    faces.extend(face_pairs(&single, &[297.207_035, 297.144_700]));
    // The vectors hold for a Stefan-Boltzmann constant of 5.6697e-8, 1.2e-4 smaller than ours.
    let radiosities = [
        [clear.upward_w_m2[2], 252.066_216],
        [clear.downward_w_m2[1], 267.938_384],
        [clear.upward_w_m2[1], 332.786_197],
        [clear.downward_w_m2[0], 359.178_924],
    ];
    let gaps = [
        [effective_conductivity_w_mk(&clear), 0.066_904],
        [effective_conductivity_w_mk(&coated), 0.030_897],
    ];
    let of_faces = "computed from the face temperatures of those vectors";
    vec![
        Check::table(
            "face temperatures of three windows, clear, coated, single",
            WINDOW_VECTORS,
            &faces,
            1e-3,
        )
        .unit("K"),
        Check::table(
            "radiosities of the clear double window",
            WINDOW_VECTORS,
            &radiosities,
            0.05,
        )
        .unit("W/m2"),
        Check::table(
            "effective conductivity of two gaps",
            WINDOW_VECTORS,
            &gaps,
            1e-5,
        )
        .unit("W/mK"),
        Check::value(
            "U of the clear double window, 21 to -18 C",
            of_faces,
            clear.u_w_m2k,
            2.730,
            2e-3,
        )
        .unit("W/m2K"),
        Check::value(
            "U of the coated window, 21 to -18 C",
            of_faces,
            coated.u_w_m2k,
            1.684,
            2e-3,
        )
        .unit("W/m2K"),
        Check::value(
            "heat into a room through a single pane in summer",
            WINDOW_VECTORS,
            -single.heat_w_m2,
            20.451,
            0.05,
        )
        .unit("W/m2"),
        Check::value(
            "U of 3-12.7-3 mm between coefficients of 23 and 8, no convection in the gap",
            WINDOW_VECTORS,
            fixed_coefficients().u_w_m2k,
            2.827_38,
            5e-3,
        )
        .unit("W/m2K"),
    ]
}

const PLAIN: [f64; 2] = [0.70, 0.08];
const INFRARED: [f64; 2] = [0.20, 0.08];

fn film([transmittance, reflectance]: [f64; 2]) -> CoverLayer {
    CoverLayer::film(transmittance, reflectance)
}

fn still(gap_m: f64) -> CoverSpace {
    CoverSpace::StillAir {
        gap_m,
        bridge_w_m2k: 0.0,
    }
}

/// House and floor 10 C, outdoors -10 C, 3 m/s, a roof at 15 degrees that sees sky alone.
fn u_w_m2k(layers: &[CoverLayer], spaces: &[CoverSpace], sky_below_k: f64) -> f64 {
    let at = CoverConditions::night(283.15, 263.15, sky_below_k);
    solved(layers, spaces, &at).u_w_m2k
}

/// Layers, spaces and U with the sky 0, 5, 10, 15, 20 and 25 K below the air.
type BySky = (Vec<CoverLayer>, Vec<CoverSpace>, [f64; 6]);

fn by_sky() -> Vec<BySky> {
    let (plain, infrared, skin) = (film(PLAIN), film(INFRARED), film([0.02, 0.08]));
    let pair = || vec![still(0.12)];
    vec![
        (vec![plain], vec![], [6.59, 7.33, 8.03, 8.69, 9.31, 9.89]),
        (
            vec![plain.wet(1.0)],
            vec![],
            [5.35, 5.66, 5.96, 6.24, 6.50, 6.75],
        ),
        (
            vec![film([0.0, 0.1])],
            vec![],
            [5.26, 5.57, 5.87, 6.14, 6.41, 6.66],
        ),
        (vec![plain; 2], pair(), [4.28, 4.89, 5.47, 6.01, 6.53, 7.01]),
        (
            vec![plain.wet(1.0), plain],
            pair(),
            [3.01, 3.41, 3.80, 4.17, 4.51, 4.84],
        ),
        (
            vec![infrared, plain],
            pair(),
            [3.40, 3.88, 4.33, 4.75, 5.16, 5.54],
        ),
        (
            vec![infrared.wet(1.0), plain],
            pair(),
            [3.04, 3.45, 3.84, 4.21, 4.57, 4.90],
        ),
        (
            vec![skin; 2],
            vec![still(0.008)],
            [2.96, 3.13, 3.30, 3.45, 3.59, 3.73],
        ),
        (
            vec![plain.wet(1.0), plain],
            vec![CoverSpace::Conductance(25.0)],
            [4.68, 5.02, 5.34, 5.64, 5.92, 6.19],
        ),
    ]
}

/// Gap in mm and U of a plain pair, inner film wet, with the sky 20 and 2 K below the air.
#[expect(clippy::approx_constant, reason = "3.14 W/m2 K is a heat loss")]
const BY_GAP: [(f64, [f64; 2]); 12] = [
    (1.0, [5.90, 4.80]),
    (2.0, [5.55, 4.38]),
    (5.0, [5.01, 3.74]),
    (10.0, [4.65, 3.32]),
    (15.0, [4.71, 3.41]),
    (20.0, [4.71, 3.41]),
    (30.0, [4.66, 3.35]),
    (50.0, [4.59, 3.26]),
    (100.0, [4.53, 3.19]),
    (150.0, [4.50, 3.16]),
    (200.0, [4.49, 3.14]),
    (300.0, [4.48, 3.13]),
];

/// That pair with 12 cm of air, by what the air does at its faces: U and the published one, sky 20, 10,
/// 2 and 0 K below the air.
fn pairs_by_air() -> Vec<[f64; 2]> {
    let layers = [film(PLAIN).wet(1.0), film(PLAIN)];
    let night = |sky_below_k| CoverConditions::night(283.15, 263.15, sky_below_k);
    let wind = |wind_m_s, sky_below_k| CoverConditions {
        wind_m_s,
        ..night(sky_below_k)
    };
    let inside = |inside| CoverConditions {
        inside,
        ..night(10.0)
    };
    let outside = |coefficient, sky_below_k| CoverConditions {
        outside: OutsideConvection::Stated(coefficient),
        ..night(sky_below_k)
    };
    let published = [
        (wind(0.5, 20.0), 4.50),
        (wind(8.0, 20.0), 4.52),
        (wind(0.5, 2.0), 3.05),
        (wind(8.0, 2.0), 3.22),
        (inside(InsideConvection::StillAir), 3.80),
        (inside(InsideConvection::Stated(4.0)), 3.95),
        (inside(InsideConvection::Stated(7.2)), 4.44),
        (outside(7.0, 20.0), 4.50),
        (outside(20.0, 20.0), 4.52),
        (outside(7.0, 0.0), 2.91),
        (outside(20.0, 0.0), 3.07),
    ];
    let solve = |(at, published): &(CoverConditions, f64)| {
        [solved(&layers, &[still(0.12)], at).u_w_m2k, *published]
    };
    published.iter().map(solve).collect()
}

fn pair_by_gap_w_m2k(gap_mm: f64, sky_below_k: f64) -> f64 {
    let layers = [film(PLAIN).wet(1.0), film(PLAIN)];
    u_w_m2k(&layers, &[still(gap_mm * 1e-3)], sky_below_k)
}

/// Gains per m2 of cover and unit of emissive power: floor with each film and with the sky, inner film
/// with the outer one and with the sky, for floor over cover 0.62 and emissivity 0.95.
fn exchange() -> Vec<[f64; 2]> {
    let dry =
        |[transmittance, reflectance]: [f64; 2]| LayerLongwave::dry(transmittance, reflectance);
    let stacks = [
        (
            [dry(PLAIN), dry(PLAIN)],
            [0.144, 0.096, 0.305, 0.064, 0.205],
        ),
        (
            [wet_lower_face(&dry(PLAIN), 1.0), dry(PLAIN)],
            [0.571, 0.0, 0.0, 0.199, 0.632],
        ),
        (
            [dry(INFRARED), dry(PLAIN)],
            [0.446, 0.027, 0.086, 0.173, 0.551],
        ),
    ];
    let pairs = stacks.iter().flat_map(|(layers, published)| {
        let gain = exchange_factors(layers, 0.95, 0.62).gain;
        let [inner, outer, floor, sky] = [0, 1, 2, 3];
        let ours = [
            gain[floor][inner],
            gain[floor][outer],
            gain[floor][sky],
            gain[inner][outer],
            gain[inner][sky],
        ];
        ours.into_iter()
            .zip(*published)
            .map(|(ours, published)| [ours, published])
            .collect::<Vec<_>>()
    });
    pairs.collect()
}

fn film_covers() -> Vec<Check> {
    let percent = |ours: f64, published: f64| [ours / published * 100.0, 100.0];
    let mut skies = Vec::new();
    for (layers, spaces, published) in by_sky() {
        for (step, published) in published.into_iter().enumerate() {
            let ours = u_w_m2k(&layers, &spaces, 5.0 * step as f64);
            skies.push(percent(ours, published));
        }
    }
    let mut gaps = Vec::new();
    for (gap_mm, published) in BY_GAP {
        for (sky_below_k, published) in [20.0, 2.0].into_iter().zip(published) {
            gaps.push(percent(pair_by_gap_w_m2k(gap_mm, sky_below_k), published));
        }
    }
    let by_air = pairs_by_air().into_iter();
    let by_air: Vec<_> = by_air
        .map(|[ours, published]| percent(ours, published))
        .collect();
    vec![
        Check::table(
            "radiation between floor, two films and sky: dry, wet, infrared inside",
            SMALL_SOLVER,
            &exchange(),
            5.1e-4,
        ),
        Check::table(
            "U of nine covers (film, pair, infrared, twin wall, glass, collapsed; dry and wet) under \
             six skies",
            SMALL_SOLVER,
            &skies,
            1.0,
        )
        .unit("%"),
        Check::table(
            "U of a pair with 1 to 300 mm of air, clear and overcast",
            SMALL_SOLVER,
            &gaps,
            1.0,
        )
        .unit("%"),
        Check::table(
            "U of a pair, inner film wet, by wind (0.5, 8 m/s), inside coefficient (still, 4, 7.2) and \
             outside coefficient (7, 20)",
            SMALL_SOLVER,
            &by_air,
            1.0,
        )
        .unit("%"),
    ]
}

#[test]
fn every_declared_value_is_met_to_a_thousandth() {
    for (glazing, ours, computed, _) in declared() {
        assert!(
            (ours - computed).abs() < 1e-3,
            "{glazing}: {ours} against {computed}"
        );
    }
}

/// The same table: the loss is least near 1 cm, where convection has not set in, and beyond 5 cm the
/// gap hardly matters: 3 % under a clear sky, 4 % under a cloudy one.
#[test]
fn a_gap_has_a_least_loss_near_a_centimetre_and_is_flat_beyond_five() {
    for (sky_below_k, kept) in [(20.0, 0.97), (2.0, 0.95)] {
        let at = |gap_mm: f64| pair_by_gap_w_m2k(gap_mm, sky_below_k);
        assert!(
            at(10.0) < at(5.0) && at(10.0) < at(15.0),
            "sky {sky_below_k} K"
        );
        let [at_50, at_300] = [50.0, 300.0].map(at);
        assert!(at_300 < at_50 && at_300 / at_50 > kept, "{at_50} {at_300}");
    }
}
