//! Covers and glazings: declared U-values, cavities, whole windows with their surface temperatures,
//! and the rows of their group.

use overwinter_physics::cavity::en673::{
    AIR, ARGON, GLASS_EMISSIVITY, Gap, Gas, Position, u_value_w_m2k,
};
use overwinter_physics::cavity::iso15099;
use overwinter_physics::cover::{
    CoverConditions, CoverLayer, CoverResult, CoverSpace, InsideConvection, OutsideConvection,
    steady_cover,
};
use overwinter_tests::published::{Check, readme};

use crate::film_covers;

const EN_673: &str = "EN 673:2011, computed from the formula by other means";
const EN_10077: &str = "EN ISO 10077-1, table C.2, from memory";
const WINDOW_VECTORS: &str =
    "open glazing library of a national laboratory, test vectors (ISO 15099:2003)";

#[test]
fn glazing_and_covers() {
    let mut checks = declared_values();
    checks.push(cavities());
    checks.extend(windows());
    checks.extend(film_covers::checks());
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

pub(crate) fn solved(
    layers: &[CoverLayer],
    spaces: &[CoverSpace],
    at: &CoverConditions,
) -> CoverResult {
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

#[test]
fn every_declared_value_is_met_to_a_thousandth() {
    for (glazing, ours, computed, _) in declared() {
        assert!(
            (ours - computed).abs() < 1e-3,
            "{glazing}: {ours} against {computed}"
        );
    }
}
