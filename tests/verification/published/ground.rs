//! The ground: closed forms of standards and papers, and the rows of the README on it.

use overwinter_physics::ground::slab::{
    EdgeInsulation, Slab, half_space_floor_loss_w, yearly_penetration_depth_m,
};
use overwinter_physics::ground::undisturbed_soil_kusuda1965;
use overwinter_tests::published::{Check, readme};

use crate::{ground_column, ground_edge};

const DELSANTE: &str = "Neymark and Judkoff 2008, NREL/TP-550-43388, case GC10a, analytic solution of \
                        Delsante et al. 1983 (from memory, and an independent quadrature)";
const ISO_13370: &str = "ISO 13370:2007 (formulas from memory; computed from the formulas)";
pub(crate) const KUSUDA: &str =
    "Kusuda and Achenbach 1965, ASHRAE Trans. 71(1) (computed from the formula)";

#[test]
fn the_ground_follows_its_sources() {
    let checks = [checks(), ground_column::checks(), ground_edge::checks()];
    readme::assert_current("Ground", &checks.concat());
}

fn checks() -> Vec<Check> {
    let [published, others @ ..] = floors();
    vec![
        Check::value(
            "Heat lost by a floor of 12 x 12 m at 30 C into soil at 10 C outside, closed form",
            DELSANTE,
            published[0],
            published[1],
            1e-3,
        )
        .unit("W"),
        Check::table(
            "The same for floors of 3 x 3, 10 x 8 and 24 x 12 m",
            "independent quadrature of the same integral",
            &others,
            2e-3,
        )
        .unit("W"),
        Check::table(
            "Floors of 80 and 1,000 m2: U-value, yearly flows of inside and outside swings",
            ISO_13370,
            &per_cent_off(iso_slabs()),
            0.01,
        )
        .unit("%"),
        Check::table(
            "Heat saved by 5 cm of foam along an edge, 0.5 m wide or deep",
            ISO_13370,
            &iso_edges(),
            1e-4,
        )
        .unit("W/mK"),
        Check::table(
            "Undisturbed soil at five depths to 4 m on five days, and its damping depth",
            KUSUDA,
            &soil_pairs(),
            1e-3,
        )
        .unit("K"),
    ]
}

pub(crate) fn per_cent_off(pairs: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    pairs
        .iter()
        .map(|[ours, published]| [100.0 * (ours / published - 1.0), 0.0])
        .collect()
}

/// Length, width, wall, conductivity, difference; W.
const FLOORS: [([f64; 5], f64); 4] = [
    ([12.0, 12.0, 0.24, 1.9, 20.0], 2432.597),
    ([3.0, 3.0, 0.0001, 1.0, 23.0], 925.549),
    ([10.0, 8.0, 0.3, 2.0, 10.0], 846.591),
    ([24.0, 12.0, 0.24, 1.9, 20.0], 3895.678),
];

fn floors() -> [[f64; 2]; 4] {
    FLOORS.map(
        |([length_m, width_m, wall_m, conductivity, difference_k], loss_w)| {
            let ours =
                half_space_floor_loss_w(length_m, width_m, wall_m, conductivity, difference_k);
            [ours, loss_w]
        },
    )
}

fn slab(
    [
        area_m2,
        perimeter_m,
        wall_thickness_m,
        floor_resistance_m2k_w,
    ]: [f64; 4],
) -> Slab {
    Slab {
        area_m2,
        perimeter_m,
        wall_thickness_m,
        soil_conductivity_w_mk: 2.0,
        floor_resistance_m2k_w,
    }
}

/// Area, perimeter, wall, resistance of the floor, in soil of 2.0 W/mK; U-value, yearly flow for a
/// swing inside and outside in W/K, with a penetration depth of 3.2 m.
const ISO_SLABS: [([f64; 4], [f64; 3]); 3] = [
    ([80.0, 36.0, 0.3, 0.0], [0.82142, 56.773, 45.144]),
    ([80.0, 36.0, 0.3, 2.5], [0.25803, 21.354, 11.837]),
    ([1000.0, 140.0, 0.1, 0.0], [0.39378, 753.01, 203.85]),
];

fn iso_slabs() -> Vec<[f64; 2]> {
    let of_slab = |(given, published): ([f64; 4], [f64; 3])| {
        let slab = slab(given);
        let ours = [
            slab.u_value_w_m2k(),
            slab.periodic_inside_w_k(3.2),
            slab.periodic_outside_w_k(3.2),
        ];
        [0, 1, 2].map(|place| [ours[place], published[place]])
    };
    ISO_SLABS.into_iter().flat_map(of_slab).collect()
}

fn iso_edges() -> [[f64; 2]; 2] {
    let slab = slab(ISO_SLABS[0].0);
    let saved = |lies| slab.edge_insulation_w_mk(lies, 0.5, 0.050, 0.050 / 0.035);
    [
        [saved(EdgeInsulation::Horizontal), -0.2513],
        [saved(EdgeInsulation::Vertical), -0.3955],
    ]
}

/// Mean 11 C, swing 12 K, coldest on day 35, 0.055728 m2 a day.
pub(crate) const DIFFUSIVITY_M2_S: f64 = 0.055_728 / 86_400.0;
pub(crate) const DAYS: [f64; 5] = [1.0, 35.0, 100.0, 200.0, 300.0];

/// Depth in m, then C on each of [`DAYS`].
pub(crate) const SOIL: [[f64; 6]; 5] = [
    [0.0, 0.997, -1.000, 5.760, 22.460, 12.801],
    [0.5, 4.003, 1.331, 5.046, 19.663, 14.354],
    [1.0, 6.476, 3.517, 4.942, 17.225, 15.190],
    [2.0, 9.916, 7.136, 5.832, 13.542, 15.405],
    [4.0, 12.379, 11.003, 8.760, 10.258, 13.463],
];

fn soil_pairs() -> Vec<[f64; 2]> {
    let mut pairs = vec![[yearly_penetration_depth_m(DIFFUSIVITY_M2_S), 2.5445]];
    for [depth_m, printed @ ..] in SOIL {
        for (day, celsius) in DAYS.into_iter().zip(printed) {
            let ours =
                undisturbed_soil_kusuda1965(depth_m, day, 11.0, 12.0, 35.0, DIFFUSIVITY_M2_S);
            pairs.push([ours, celsius]);
        }
    }
    pairs
}
