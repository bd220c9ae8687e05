//! Moist air: points of a handbook, and a grid that an open library computed.

use overwinter_physics::moist_air::{
    air_density_kg_m3, dew_or_frost_point_k, dew_point_k, humidity_ratio, moist_air_enthalpy_j_kg,
    saturation_pressure_pa, standard_pressure_pa,
};
use overwinter_tests::fixtures::Fixture;
use overwinter_tests::published::Check;
use overwinter_units::constants::{STANDARD_PRESSURE_PA, WATER_TO_AIR_MASS_RATIO, ZERO_CELSIUS_K};

const HANDBOOK: &str = "ASHRAE Handbook Fundamentals 2017, chapter 1";
const PSYCHROLIB: &str = "open library PsychroLib 2.5.0 (fixture)";

pub(crate) fn checks() -> Vec<Check> {
    let mut checks = handbook_tables();
    checks.extend(handbook_points());
    checks.extend(library_grid());
    checks
}

/// Ours over the published, in per cent off, as pairs with 0.
fn per_cent_off(pairs: &[[f64; 2]]) -> Vec<[f64; 2]> {
    pairs
        .iter()
        .map(|[ours, published]| [100.0 * (ours / published - 1.0), 0.0])
        .collect()
}

/// Celsius and Pa.
const SATURATION: [[f64; 2]; 6] = [
    [-60.0, 1.08],
    [-20.0, 103.24],
    [-5.0, 401.74],
    [5.0, 872.6],
    [25.0, 3169.7],
    [50.0, 12_351.3],
];

/// Celsius and kg water per kg dry air, saturated, at sea level.
const SATURATED_RATIO: [[f64; 2]; 6] = [
    [-50.0, 0.000_024_3],
    [-20.0, 0.000_637_3],
    [-5.0, 0.002_486_3],
    [5.0, 0.005_425],
    [25.0, 0.020_173],
    [50.0, 0.086_863],
];

/// Celsius and J/kg, saturated, at sea level.
const SATURATED_ENTHALPY: [[f64; 2]; 5] = [
    [-20.0, -18_542.0],
    [-5.0, 1_164.0],
    [5.0, 18_639.0],
    [25.0, 76_504.0],
    [50.0, 275_353.0],
];

/// Metres and Pa.
const ATMOSPHERE: [[f64; 2]; 6] = [
    [-500.0, 107_478.0],
    [0.0, 101_325.0],
    [500.0, 95_461.0],
    [1000.0, 89_875.0],
    [4000.0, 61_640.0],
    [10_000.0, 26_436.0],
];

fn saturated_ratio(celsius: f64) -> f64 {
    humidity_ratio(
        saturation_pressure_pa(celsius + ZERO_CELSIUS_K),
        STANDARD_PRESSURE_PA,
    )
}

fn saturated_enthalpy(celsius: f64) -> f64 {
    moist_air_enthalpy_j_kg(celsius + ZERO_CELSIUS_K, saturated_ratio(celsius))
}

fn pairs(table: &[[f64; 2]], ours: impl Fn(f64) -> f64) -> Vec<[f64; 2]> {
    table
        .iter()
        .map(|[at, published]| [ours(*at), *published])
        .collect()
}

fn handbook_tables() -> Vec<Check> {
    let pressure = pairs(&SATURATION, |celsius| {
        saturation_pressure_pa(celsius + ZERO_CELSIUS_K)
    });
    let [coldest, rest @ ..] = pressure.as_slice() else {
        panic!("six points");
    };
    vec![
        Check::table(
            "Saturation pressure, -20 to 50 C (the short form used here states 0.4 %)",
            &format!("{HANDBOOK}, table 3"),
            &per_cent_off(rest),
            0.4,
        )
        .unit("%"),
        Check::value(
            "Saturation pressure over ice at -60 C",
            &format!("{HANDBOOK}, table 3"),
            coldest[0],
            coldest[1],
            0.01,
        )
        .unit("Pa")
        .decimals(2),
        Check::table(
            "Humidity ratio of saturated air, -50 to 50 C (ideal gas: 2 %)",
            &format!("{HANDBOOK}, table 2"),
            &per_cent_off(&pairs(&SATURATED_RATIO, saturated_ratio)),
            2.0,
        )
        .unit("%"),
        Check::share_of(
            "The same at 85 C",
            &format!("{HANDBOOK}, table 2"),
            saturated_ratio(85.0),
            0.838_105,
            0.02,
        )
        .unit("kg/kg")
        .falls_short(
            "beyond the 50 C up to which the short form of the saturation pressure is stated",
        ),
        Check::table(
            "Enthalpy of saturated air, -20 to 50 C (ideal gas: 3 %)",
            &format!("{HANDBOOK}, table 2"),
            &per_cent_off(&pairs(&SATURATED_ENTHALPY, saturated_enthalpy)),
            3.0,
        )
        .unit("%"),
        Check::table(
            "Pressure of the standard atmosphere, -500 to 10,000 m",
            &format!("{HANDBOOK}, table 1"),
            &pairs(&ATMOSPHERE, standard_pressure_pa),
            1.0,
        )
        .unit("Pa"),
    ]
}

/// Dry air at 25 C; moist air at 30 C of 0.02 kg/kg.
fn handbook_points() -> Vec<Check> {
    let moist_volume = volume_m3_kg(303.15, 0.02, 95_461.0);
    let points = [
        [moist_air_enthalpy_j_kg(298.15, 0.0), 25_148.0],
        [moist_air_enthalpy_j_kg(303.15, 0.02), 81_316.0],
        [humidity_ratio(3169.7, 95_461.0), 0.021_360_399_8],
        [moist_volume, 0.940_855_374_4],
        [1.02 / moist_volume, 1.084_119_863_5],
    ];
    vec![
        Check::table(
            "Enthalpy, humidity ratio, volume and density of air at 25 and 30 C",
            &format!("{HANDBOOK}, equations 20, 26 and 30, as test data of PsychroLib"),
            &per_cent_off(&points),
            0.03,
        )
        .unit("%"),
        Check::share_of(
            "Volume of dry air at 25 C",
            &format!("{HANDBOOK}, table 2"),
            volume_m3_kg(298.15, 0.0, STANDARD_PRESSURE_PA),
            0.8443,
            1e-3,
        )
        .unit("m3/kg")
        .decimals(4),
        Check::value(
            "Dew point of air at 40 C with 0.0065 kg/kg, sea level",
            &format!("{HANDBOOK}, example 1 (read from a chart)"),
            dew_point_k(vapour_pressure_of_ratio(0.0065, STANDARD_PRESSURE_PA)) - ZERO_CELSIUS_K,
            7.0,
            0.5,
        )
        .unit("C")
        .decimals(1)
        .falls_short("the handbook's own equations give 7.7 C too, the chart is read to 0.5 K"),
    ]
}

/// Volume of a kilogram of dry air and its vapour.
fn volume_m3_kg(temp_k: f64, ratio: f64, pressure_pa: f64) -> f64 {
    let dry_pa = pressure_pa - vapour_pressure_of_ratio(ratio, pressure_pa);
    1.0 / air_density_kg_m3(dry_pa, temp_k)
}

fn vapour_pressure_of_ratio(ratio: f64, pressure_pa: f64) -> f64 {
    pressure_pa * ratio / (WATER_TO_AIR_MASS_RATIO + ratio)
}

/// Ours and the library's: saturation, humidity ratio, enthalpy, volume, dew or frost point.
struct GridPoint {
    celsius: f64,
    saturation: [f64; 2],
    ratio: [f64; 2],
    enthalpy: [f64; 2],
    volume: [f64; 2],
    dew_point: [f64; 2],
}

fn grid() -> Vec<GridPoint> {
    let fixture = Fixture::read("moist_air.csv");
    let rows = fixture.rows([
        "temp_c",
        "relative_humidity",
        "pressure_pa",
        "saturation_pa",
        "humidity_ratio",
        "enthalpy_j_kg",
        "volume_m3_kg",
        "dew_point_c",
    ]);
    assert_eq!(rows.len(), 200);
    rows.into_iter().map(grid_point).collect()
}

fn grid_point(row: [f64; 8]) -> GridPoint {
    let [
        celsius,
        humidity,
        pressure_pa,
        saturation,
        ratio,
        enthalpy,
        volume,
        dew_point,
    ] = row;
    let temp_k = celsius + ZERO_CELSIUS_K;
    let saturated_pa = saturation_pressure_pa(temp_k);
    let vapour_pa = humidity * saturated_pa;
    let ours = humidity_ratio(vapour_pa, pressure_pa);
    GridPoint {
        celsius,
        saturation: [saturated_pa, saturation],
        ratio: [ours, ratio],
        // The library's humidity ratio, so that this compares the enthalpy and volume alone.
        enthalpy: [moist_air_enthalpy_j_kg(temp_k, ratio), enthalpy],
        volume: [volume_m3_kg(temp_k, ratio, pressure_pa), volume],
        dew_point: [dew_or_frost_point_k(vapour_pa) - ZERO_CELSIUS_K, dew_point],
    }
}

/// Range that the form over water is stated for, and that over ice.
fn is_in_range(celsius: f64) -> bool {
    (-65.0..=50.0).contains(&celsius)
}

fn library_grid() -> Vec<Check> {
    let grid: Vec<GridPoint> = grid()
        .into_iter()
        .filter(|point| is_in_range(point.celsius))
        .collect();
    let column = |of: fn(&GridPoint) -> [f64; 2]| grid.iter().map(of).collect::<Vec<_>>();
    vec![
        Check::table(
            "Saturation pressure, -60 to 50 C, ice below 0 C",
            PSYCHROLIB,
            &per_cent_off(&column(|point| point.saturation)),
            0.4,
        )
        .unit("%"),
        Check::table(
            "Humidity ratio, -60 to 50 C, 10 to 100 % humidity, two pressures",
            PSYCHROLIB,
            &per_cent_off(&column(|point| point.ratio)),
            0.5,
        )
        .unit("%"),
        Check::table(
            "Enthalpy, the same",
            PSYCHROLIB,
            &column(|point| point.enthalpy),
            1.0,
        )
        .unit("J/kg"),
        Check::table(
            "Volume of a kg of dry air and its vapour, the same",
            PSYCHROLIB,
            &per_cent_off(&column(|point| point.volume)),
            0.03,
        )
        .unit("%"),
        Check::table(
            "Dew or frost point, the same",
            PSYCHROLIB,
            &column(|point| point.dew_point),
            0.1,
        )
        .unit("K"),
    ]
}

#[test]
fn each_handbook_point_is_met() {
    for (table, ours, allowed) in [
        (
            &SATURATED_RATIO[..6],
            saturated_ratio as fn(f64) -> f64,
            0.01,
        ),
        (&SATURATED_ENTHALPY, saturated_enthalpy, 0.03),
    ] {
        for [celsius, published] in table {
            let off = ours(*celsius) / published - 1.0;
            assert!(off.abs() < allowed, "{celsius} C: {off}");
        }
    }
}

#[test]
fn each_point_of_the_grid_is_met() {
    for point in grid() {
        let [ours, theirs] = point.saturation;
        // Beyond 50 C the form has no stated accuracy.
        let allowed = if is_in_range(point.celsius) {
            4e-3
        } else {
            6e-3
        };
        assert!(
            (ours / theirs - 1.0).abs() < allowed,
            "{} C: {ours} {theirs}",
            point.celsius
        );
        let [ours, theirs] = point.dew_point;
        assert!((ours - theirs).abs() < 0.1, "{} C", point.celsius);
    }
}
