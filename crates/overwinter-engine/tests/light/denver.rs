//! A real year: the sums over the year that a published standard prints.

use crate::rooms::{CASE_600_PANE, facet, house, section, wall};
use overwinter_engine::house::{Facet, House};
use overwinter_engine::sunlight::{Sunlight, sunlight};
use overwinter_weather::{Year, read_file};
use std::path::Path;

/// Denver International Airport, TMY3 725650: the year of ASHRAE Standard 140-2020. The standard
/// has a ground reflectance of 0.2 all year.
pub(crate) fn denver() -> Year {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../weather/725650-denver-intl-co-tmy3.epw"
    );
    let year = read_file(Path::new(path)).expect("the shipped Denver year");
    Year {
        ground_albedo: None,
        snow_depth_m: None,
        ..year
    }
}

pub(crate) const SOUTH: Facet = Facet {
    area_m2: 1.0,
    tilt_deg: 90.0,
    azimuth_deg: 180.0,
};

fn kwh(hourly_w: impl Fn(usize) -> f64) -> f64 {
    (0..8760).map(hourly_w).sum::<f64>() / 1000.0
}

fn let_in_kwh(sun: &Sunlight, section: usize) -> f64 {
    kwh(|hour| {
        let light = sun.section(hour, section, false);
        light.beam_w + light.diffuse_w
    })
}

/// A square metre of black wall for each plane.
fn black_walls(planes: &[Facet]) -> House {
    let walls = planes.iter().map(|plane| wall(*plane, 0.5, 1.0));
    house(48.0, Vec::new(), walls.collect())
}

#[test]
fn incident_sun_over_the_year_is_in_the_published_bands() {
    // ASHRAE Standard 140-2020, example results, table B8 (annual incident solar radiation), kWh/m2.
    let planes = [
        ("horizontal", facet(1.0, 0.0, 0.0), 1663.0, 1670.0),
        ("north", facet(1.0, 90.0, 0.0), 399.0, 477.0),
        ("east", facet(1.0, 90.0, 90.0), 1017.0, 1068.0),
        ("south", SOUTH, 1291.0, 1387.0),
        ("west", facet(1.0, 90.0, 270.0), 903.0, 997.0),
    ];
    let house = black_walls(&planes.map(|plane| plane.1));
    let sun = sunlight(&house, &denver());
    for (at, (name, _, least, most)) in planes.into_iter().enumerate() {
        let got = kwh(|hour| sun.walls_w(hour)[at]);
        assert!((least..=most).contains(&got), "{name}: {got:.1} kWh/m2");
    }
}

#[test]
fn south_and_west_windows_let_in_the_published_sun() {
    // ASHRAE Standard 140-2020, example results, table B8-11 and the annual transmitted radiation,
    // kWh/m2 of glass: case 600 (two panes, south), 620 (two panes, west), 670 (one pane, south).
    let west = facet(1.0, 90.0, 270.0);
    let pair = [CASE_600_PANE; 2];
    let room = house(
        48.0,
        vec![
            section(vec![SOUTH], &pair),
            section(vec![west], &pair),
            section(vec![SOUTH], &pair[..1]),
        ],
        // White inside, so that all that comes in is told.
        vec![wall(SOUTH, 0.0, 1.0), wall(west, 0.0, 1.0)],
    );
    let sun = sunlight(&room, &denver());
    let incident = [0, 1].map(|at| kwh(|hour| sun.walls_w(hour)[at]));
    for (name, section, facing, transmitted, transmissivity) in [
        ("600", 0, 0, 804.0..=826.0, 0.587..=0.627),
        ("620", 1, 1, 569.0..=624.0, 0.600..=0.640),
        ("670", 2, 0, 988.0..=1039.0, 0.747..=0.770),
    ] {
        let got = let_in_kwh(&sun, section);
        assert!(transmitted.contains(&got), "{name}: {got:.1} kWh/m2");
        let share = got / incident[facing];
        assert!(transmissivity.contains(&share), "{name}: {share:.4}");
    }
}

#[test]
fn no_plane_anywhere_gets_light_below_zero_or_loses_count() {
    let planes: Vec<Facet> = [0.0, 20.0, 60.0, 90.0, 120.0, 150.0, 180.0]
        .into_iter()
        .flat_map(|tilt| [0.0, 75.0, 200.0, 290.0].map(|azimuth| facet(2.0, tilt, azimuth)))
        .collect();
    let cover = section(planes.clone(), &[CASE_600_PANE; 2]);
    let room = house(30.0, vec![cover], vec![wall(planes[9], 0.5, 1.0)]);
    for (latitude_deg, longitude_deg) in [(39.83, -104.65), (-78.0, 10.0), (0.0, -105.0)] {
        let mut year = denver();
        year.place.latitude_deg = latitude_deg;
        year.place.longitude_deg = longitude_deg;
        year.ground_albedo = Some(vec![0.0; 8760]);
        let sun = sunlight(&room, &year);
        for hour in 0..8760 {
            let light = sun.section(hour, 0, false);
            let walls = sun.walls_w(hour).iter();
            let parts = light.absorbed_w.iter().chain(walls);
            let all = parts.chain([&light.beam_w, &light.diffuse_w]);
            assert!(all.copied().all(|w| (0.0..1e6).contains(&w)), "{hour}");
            assert!((0.0..=90.0).contains(&sun.sun_height_deg[hour]));
        }
    }
}
