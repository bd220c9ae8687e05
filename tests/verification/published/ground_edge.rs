//! The floor that a scenario describes, at rest, beside published losses along an edge and of a whole
//! slab.

use std::path::PathBuf;

use overwinter_engine::house::{Below, Floor, House, SoilOutside};
use overwinter_engine::model::{AIR, FLOOR};
use overwinter_engine::season::Season;
use overwinter_engine::sunlight::sunlight;
use overwinter_study::scenario;
use overwinter_tests::airy_room::open_room;
use overwinter_tests::published::Check;
use overwinter_tests::years;
use overwinter_units::constants::ZERO_CELSIUS_K;
use overwinter_weather::year::HOURS;

const HANDBOOK: &str = "ASHRAE Handbook Fundamentals, heat loss of slab edges (from memory)";
const PERIMETER_M: f64 = 48.0;
const FLOOR_M2: f64 = 144.0;
/// Room and soil outside, K.
const ROOM_K: f64 = ZERO_CELSIUS_K + 30.0;
const SOIL_K: f64 = ZERO_CELSIUS_K + 10.0;

/// Labels of the scenario's two axes.
#[derive(Clone, Copy)]
pub(crate) struct Wanted {
    soil: &'static str,
    edge: &'static str,
}

impl Wanted {
    pub(crate) const BARE_LOAM: Self = Self {
        soil: "1.4 W/mK",
        edge: "0 m2K/W",
    };
    const INSULATED_LOAM: Self = Self {
        soil: "1.4 W/mK",
        edge: "1.43 m2K/W",
    };
    const BARE_STANDARD: Self = Self {
        soil: "1.9 W/mK",
        edge: "0 m2K/W",
    };
}

/// The floor of a case of the scenario file beside this one.
pub(crate) fn scenario_floor(wanted: Wanted) -> Floor {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("verification/scenarios/slab-on-ground.toml");
    let study = scenario::load(&path).expect("the scenario reads");
    let case = study
        .cases
        .iter()
        .find(|case| case.axis_labels == [wanted.soil, wanted.edge]);
    let case = case.expect("a case of both axes");
    assert!((case.house.floor_area_m2 - FLOOR_M2).abs() < 1e-9);
    case.house.floor.clone()
}

/// A room at 30 C over that floor; soil at 10 C.
fn room_over(mut floor: Floor, coefficient_w_m2k: f64) -> House {
    floor.emissivity = 0.0;
    floor.wet_share = 0.0;
    floor.soil_outside = SoilOutside {
        mean_k: SOIL_K,
        swing_k: 0.0,
        ..floor.soil_outside
    };
    let mut house = open_room(FLOOR_M2, coefficient_w_m2k);
    house.floor = floor;
    house
}

/// Heat that the room loses to both columns, and that the edge strip loses sideways, W, at rest.
fn losses_at_rest_w(house: &House, coefficient_w_m2k: f64) -> [f64; 2] {
    let year = years::dark_year(|_| ROOM_K, 270.0, 0.0, 300.0);
    let sun = sunlight(house, &year);
    let (houses, suns, years) = ([house], [&sun], [&year]);
    let mut season = Season::<f64>::new(&houses, &suns, &years, 2).expect("the house fits");
    for _ in 0..6 {
        season.run_up(0, HOURS).expect("the ground settles");
    }
    let stepper = season.stepper();
    let now = &stepper.state.now;
    let columns = &stepper.model.columns;
    let whole_w: f64 = FLOOR
        .iter()
        .zip(columns)
        .map(|(surface, column)| {
            coefficient_w_m2k * column.chain.area_m2 * (now[AIR] - now[*surface])
        })
        .sum();
    let strip = &columns[1];
    let nodes = std::iter::once(FLOOR[1]).chain(strip.offset..);
    let sideways_w: f64 = strip
        .sideways_w_k
        .iter()
        .zip(nodes)
        .map(|(conductance, node)| conductance * (now[node] - SOIL_K))
        .sum();
    [whole_w, sideways_w]
}

/// Loss along the edge, W/m K, with nothing lost downwards.
fn edge_factor_w_mk(wanted: Wanted) -> f64 {
    let mut floor = scenario_floor(wanted);
    for column in &mut floor.columns {
        column.below = Below::Adiabatic;
    }
    let [whole_w, sideways_w] = losses_at_rest_w(&room_over(floor, 1.0 / 0.17), 1.0 / 0.17);
    assert!(
        (whole_w / sideways_w - 1.0).abs() < 1e-3,
        "{whole_w} {sideways_w}"
    );
    sideways_w / PERIMETER_M / (ROOM_K - SOIL_K)
}

/// Loss of the whole floor, W, its surface at 30 C.
fn slab_loss_w() -> f64 {
    let held = 1e5;
    losses_at_rest_w(
        &room_over(scenario_floor(Wanted::BARE_STANDARD), held),
        held,
    )[0]
}

pub(crate) fn checks() -> Vec<Check> {
    vec![
        Check::band(
            "Heat lost along the bare edge of a scenario's floor on moist loam, at rest",
            HANDBOOK,
            edge_factor_w_mk(Wanted::BARE_LOAM),
            [1.2, 1.4],
        )
        .unit("W/mK")
        .decimals(2)
        .falls_short(
            "the handbook's factor holds all that a slab loses, this is what the strip loses sideways",
        ),
        Check::band(
            "The same with 5 cm of foam to 0.6 m depth",
            HANDBOOK,
            edge_factor_w_mk(Wanted::INSULATED_LOAM),
            [0.5, 0.7],
        )
        .unit("W/mK")
        .decimals(2)
        .falls_short(
            "the strip loses sideways down to 2.2 m, and heat passes below the foam more freely than \
             in real soil",
        ),
        Check::share_of(
            "Heat lost by a scenario's floor of 12 x 12 m at 30 C into soil at 10 C, after years at \
             rest (its way down is set by Delsante's solution)",
            "Neymark and Judkoff 2008, NREL/TP-550-43388, case GC10a (from memory)",
            slab_loss_w(),
            2432.597,
            0.005,
        )
        .unit("W")
        .decimals(0),
    ]
}
