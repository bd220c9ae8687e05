//! Light on tilted planes: published vectors, textbook hours, whole years of a library, and the sums
//! of a standard's year by the path that a season takes.

use overwinter_engine::house::{Facet, Outside, Wall};
use overwinter_engine::sunlight::sunlight;
use overwinter_physics::sun::{SunYear, plane_normal};
use overwinter_physics::tilted_plane::{DiffuseSky, TiltedDiffuse, ground_reflected_w_m2};
use overwinter_tests::fixtures::Fixture;
use overwinter_tests::published::Check;
use overwinter_tests::{houses, years};
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

use crate::sun_position::{CLIMATES, Textbook};

const PEREZ_DATA: &str = "Perez et al. 1990, Solar Energy 44(5), as the test data of the open library \
                          pvlib evaluate it";
const PVLIB: &str = "open library pvlib 0.16.1 on the same files (fixture)";
const DUFFIE: &str = "Duffie and Beckman, Solar Engineering of Thermal Processes";
const STANDARD: &str =
    "ASHRAE Standard 140-2020, informative example results, case 600 incident sun";

pub(crate) fn checks() -> Vec<Check> {
    let mut checks = vec![perez_vectors()];
    checks.extend(textbook_hour());
    checks.push(whole_years());
    checks.extend(denver_sums());
    checks
}

/// Direct normal, diffuse horizontal, zenith, azimuth; total, even, circumsolar, horizon: a plane of
/// tilt 40 to the south, 1321.1655834833093 W/m2 above the atmosphere.
const PEREZ: [([f64; 4], [f64; 4]); 2] = [
    (
        [316.1949056, 40.46149818, 82.85457044, 66.71410338],
        [31.46046871, 26.84138589, 0.0, 4.62212181],
    ),
    (
        [646.22886049, 62.03376265, 72.41687122, 287.04104128],
        [45.45539877, 31.72696071, 4.47966439, 9.25316454],
    ),
];

fn perez_pairs() -> Vec<[f64; 2]> {
    let of_hour = |([direct, diffuse, zenith_deg, azimuth_deg], parts): ([f64; 4], [f64; 4])| {
        let sun = plane_normal(zenith_deg, azimuth_deg);
        let sky = DiffuseSky::perez1990(diffuse, direct, 1_321.165_583_483_309_3, sun[2]);
        let light = on_plane(&sky, sun, 40.0, 180.0);
        let ours = [
            light.total_w_m2(),
            light.even_w_m2,
            light.circumsolar_w_m2,
            light.horizon_w_m2,
        ];
        [0, 1, 2, 3].map(|part| [ours[part], parts[part]])
    };
    PEREZ.into_iter().flat_map(of_hour).collect()
}

fn perez_vectors() -> Check {
    Check::table(
        "Diffuse light on a plane of tilt 40 deg, two hours, whole and by part",
        PEREZ_DATA,
        &perez_pairs(),
        0.01,
    )
    .unit("W/m2")
}

fn cos_between(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn on_plane(sky: &DiffuseSky, sun: [f64; 3], tilt_deg: f64, azimuth_deg: f64) -> TiltedDiffuse {
    let normal = plane_normal(tilt_deg, azimuth_deg);
    sky.on_plane(normal[2], cos_between(sun, normal))
}

/// Slope 60 to the south, latitude 40, 20 February, 9 to 10, 1.04 MJ/m2 on the flat of which 0.7961
/// diffuse (split by Erbs et al.), ground reflectance 0.60.
fn textbook_hour() -> Vec<Check> {
    let position = Textbook::sun(40.0, 50.0, -11.579, -37.5);
    let sun = plane_normal(position.zenith_deg, position.azimuth_deg);
    let normal = plane_normal(60.0, 180.0);
    let (global, diffuse) = (1.04, 0.7961);
    let direct = (global - diffuse) / sun[2];
    let without_sky =
        direct * cos_between(sun, normal) + ground_reflected_w_m2(global, 0.60, normal[2]);
    let total = |sky: DiffuseSky| without_sky + on_plane(&sky, sun, 60.0, 180.0).total_w_m2();
    let check = |sky: &str, source: &str, ours: f64, published: f64| {
        let case = format!("Light on a slope of 60 deg in an hour of a hazy winter morning, {sky}");
        Check::value(
            &case,
            &format!("{DUFFIE}, {source}"),
            ours,
            published,
            0.005,
        )
        .unit("MJ/m2")
        .decimals(3)
    };
    // 2.3349 MJ/m2 on the flat above the atmosphere.
    let above = 2.3349 / sun[2];
    vec![
        check(
            "even sky",
            "example 2.15.1 (from memory)",
            total(DiffuseSky::isotropic(diffuse)),
            1.17,
        ),
        check(
            "sky of Perez",
            "example 2.16.2 (computed from the formula)",
            total(DiffuseSky::perez1990(diffuse, direct, above, sun[2])),
            1.370,
        ),
    ]
}

/// Ours and the library's, W/m2: beam and diffuse on two planes, the sun in the middle of the hour.
fn library_pairs(climate: &str, file: &str) -> Vec<(usize, [f64; 2])> {
    let year = years::shipped(file).expect("the year reads");
    let place = &year.place;
    let sun_year = SunYear::new(place.latitude_deg, place.longitude_deg, place.time_zone_h);
    let rows = Fixture::read(&format!("sun_and_sky_{climate}.csv")).rows([
        "south_45_beam_w_m2",
        "south_45_diffuse_w_m2",
        "east_90_beam_w_m2",
        "east_90_diffuse_w_m2",
    ]);
    let mut pairs = Vec::new();
    for (hour, row) in rows.into_iter().enumerate() {
        if row[0].is_nan() {
            continue;
        }
        let position = sun_year.position(hour as f64 + 0.5);
        let sun = plane_normal(position.zenith_deg, position.azimuth_deg);
        let above = sun_year.mean_of_hour(hour).extraterrestrial_normal_w_m2;
        let direct = year.direct_normal_w_m2[hour];
        let diffuse = year.diffuse_horizontal_w_m2[hour];
        let sky = DiffuseSky::perez1990(diffuse, direct, above, sun[2]);
        for (plane, [tilt_deg, azimuth_deg]) in [[45.0, 180.0], [90.0, 90.0]].iter().enumerate() {
            let normal = plane_normal(*tilt_deg, *azimuth_deg);
            let beam = direct * cos_between(sun, normal).max(0.0);
            let light = on_plane(&sky, sun, *tilt_deg, *azimuth_deg).total_w_m2();
            pairs.push((hour, [beam, row[2 * plane]]));
            pairs.push((hour, [light, row[2 * plane + 1]]));
        }
    }
    pairs
}

fn whole_years() -> Check {
    let of_climate = |(climate, file)| library_pairs(climate, file);
    let pairs: Vec<[f64; 2]> = CLIMATES
        .into_iter()
        .flat_map(of_climate)
        .map(|(_, pair)| pair)
        .collect();
    Check::table(
        "Beam and diffuse light on a plane of 45 deg to the south and a wall to the east, every \
         bright hour of three climates",
        PVLIB,
        &pairs,
        0.05,
    )
    .unit("W/m2")
}

/// A black, open surface in the light that the engine works with.
fn surface(name: &str, tilt_deg: f64, azimuth_deg: f64) -> Wall {
    Wall {
        name: name.to_owned(),
        facet: Facet {
            area_m2: 1.0,
            tilt_deg,
            azimuth_deg,
        },
        solids: vec![houses::solid(0.1, 1.0, 1e6)],
        outside: Outside::Open,
        solar_absorptance: [1.0; 2],
        emissivity: [0.9; 2],
    }
}

/// Light that falls on each surface over a year, kWh/m2, ground reflectance 0.2 as the standard has
/// it, whatever reflectance and snow the file states.
fn incident_kwh_m2(mut year: Year, surfaces: &[Wall]) -> Vec<f64> {
    year.ground_albedo = None;
    year.snow_depth_m = None;
    let mut house = houses::light_room();
    house.walls = surfaces.to_vec();
    house.ground_reflectance = 0.2;
    let light = sunlight(&house, &year);
    (0..surfaces.len())
        .map(|wall| {
            (0..HOURS)
                .map(|hour| light.walls_w(hour)[wall])
                .sum::<f64>()
                / 1000.0
        })
        .collect()
}

fn denver_sums() -> Vec<Check> {
    let surfaces = [
        surface("the horizontal", 0.0, 0.0),
        surface("a wall to the north", 90.0, 0.0),
        surface("a wall to the east", 90.0, 90.0),
        surface("a wall to the south", 90.0, 180.0),
        surface("a wall to the west", 90.0, 270.0),
    ];
    let bands = [
        [1663.0, 1670.0],
        [399.0, 477.0],
        [1017.0, 1068.0],
        [1291.0, 1387.0],
        [903.0, 997.0],
    ];
    let year = years::shipped(years::SUNNY).expect("the year reads");
    let sums = incident_kwh_m2(year, &surfaces);
    let row = |((surface, band), sum): ((&Wall, [f64; 2]), f64)| {
        let case = format!("Sun on {} over the standard's Denver year", surface.name);
        Check::band(&case, STANDARD, sum, band)
            .unit("kWh/m2")
            .decimals(0)
    };
    surfaces.iter().zip(bands).zip(sums).map(row).collect()
}

#[test]
fn light_on_planes_keeps_to_the_library_hour_by_hour() {
    for (climate, file) in CLIMATES {
        for (hour, [ours, theirs]) in library_pairs(climate, file) {
            assert!(
                (ours - theirs).abs() < 0.05,
                "{climate}, hour {hour}: {ours} {theirs}"
            );
        }
    }
}
