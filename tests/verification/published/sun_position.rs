//! Where the sun stands: a published worked example, textbook examples, whole years of a library.

use overwinter_physics::sun::{RefractingAir, SunPosition, SunYear, plane_normal, sun_position};
use overwinter_tests::fixtures::Fixture;
use overwinter_tests::published::Check;
use overwinter_tests::years;

const REDA: &str = "Reda and Andreas 2004, Solar position algorithm, worked example";
const REDA_FROM_MEMORY: &str =
    "Reda and Andreas 2004, Solar position algorithm, worked example (from memory)";
const DUFFIE: &str = "Duffie and Beckman, Solar Engineering of Thermal Processes";
const PVLIB: &str = "open library pvlib 0.16.1, solar position algorithm in full (fixture)";

/// The climates of the fixtures: name and weather file.
pub(crate) const CLIMATES: [(&str, &str); 3] = [
    ("northway", years::COLDEST),
    ("denver", years::SUNNY),
    ("greensboro", years::MILD),
];

pub(crate) fn checks() -> Vec<Check> {
    let mut checks = worked_example();
    checks.extend(textbook());
    checks.push(whole_years());
    checks
}

/// 17 October 2003, 12:30:30, seven hours behind universal time.
const EXAMPLE_JULIAN_DAY: f64 = 2_452_930.0 + (19.0 - 12.0 + 30.5 / 60.0) / 24.0;

fn example_sun(latitude_deg: f64, longitude_deg: f64, air: Option<RefractingAir>) -> SunPosition {
    let elevation_m = 1830.14;
    sun_position(
        latitude_deg,
        longitude_deg,
        elevation_m,
        EXAMPLE_JULIAN_DAY,
        67.0,
        air,
    )
}

fn worked_example() -> Vec<Check> {
    let air = RefractingAir {
        pressure_hpa: 820.0,
        temp_c: 11.0,
    };
    let sun = example_sun(39.742476, -105.1786, Some(air));
    let degrees = |case: &str, source: &str, ours: f64, published: f64| {
        Check::value(case, source, ours, published, 1e-4)
            .unit("deg")
            .decimals(5)
    };
    vec![
        degrees(
            "Sun's zenith angle, Golden, Colorado, 17 October 2003, 12:30:30",
            REDA,
            sun.zenith_deg,
            50.11162,
        ),
        degrees("Sun's azimuth, as above", REDA, sun.azimuth_deg, 194.340241),
        degrees(
            "Angle of incidence on a plane of slope 30 deg, 10 deg east of south, as above",
            REDA_FROM_MEMORY,
            incidence_deg(sun, plane_normal(30.0, 170.0)),
            25.187,
        ),
        Check::value(
            "Equation of time, as above",
            "open library pvlib, same algorithm",
            equation_of_time_min(),
            14.641511,
            1e-3,
        )
        .unit("min")
        .decimals(4),
    ]
}

fn incidence_deg(sun: SunPosition, normal: [f64; 3]) -> f64 {
    cos_between(plane_normal(sun.zenith_deg, sun.azimuth_deg), normal)
        .acos()
        .to_degrees()
}

fn cos_between(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Seen from the pole the azimuth is the hour angle turned by 180 degrees. The published form takes
/// the mean sun at terrestrial time, 67 s on in the year.
fn equation_of_time_min() -> f64 {
    let mean_hour_angle_deg = 15.0 * (19.0 + 30.5 / 60.0 - 12.0);
    let moved_on_deg = 360.0 / 365.25 * 67.0 / 86_400.0;
    let hour_angle_deg = example_sun(90.0, 0.0, None).azimuth_deg - 180.0;
    4.0 * (hour_angle_deg - mean_hour_angle_deg + moved_on_deg)
}

/// A place and an hour of a typical year at which the sun has a declination and an hour angle.
#[derive(Clone, Copy)]
pub(crate) struct Textbook {
    latitude_deg: f64,
    longitude_deg: f64,
    /// Hours from 1 January 00:00 universal time.
    hour: f64,
}

impl Textbook {
    /// Books round the declination to that of a fit, up to half a degree off: the instant near
    /// `day` is the one at which the sun has the book's, the longitude the one that gives the book's
    /// hour angle.
    pub(crate) fn sun(
        latitude_deg: f64,
        day: f64,
        declination_deg: f64,
        hour_angle_deg: f64,
    ) -> SunPosition {
        Self::new(latitude_deg, day, declination_deg, hour_angle_deg).position()
    }

    fn new(latitude_deg: f64, day: f64, declination_deg: f64, hour_angle_deg: f64) -> Self {
        let pole = SunYear::new(90.0, 0.0, 0.0);
        let above = |hour: f64| 90.0 - pole.position(hour).zenith_deg - declination_deg;
        let (mut low, mut high) = (24.0 * (day - 10.0), 24.0 * (day + 10.0));
        assert!(above(low) * above(high) < 0.0, "no such declination");
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if above(low) * above(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        let at_greenwich_deg = pole.position(low).azimuth_deg - 180.0;
        Self {
            latitude_deg,
            longitude_deg: hour_angle_deg - at_greenwich_deg,
            hour: low,
        }
    }

    fn position(&self) -> SunPosition {
        SunYear::new(self.latitude_deg, self.longitude_deg, 0.0).position(self.hour)
    }
}

fn textbook() -> Vec<Check> {
    vec![
        positions(),
        Check::table(
            "Ratio of beam on a slope to beam on the flat (lat 43 and 40, slopes 30 to 50 deg)",
            &format!("{DUFFIE}, examples 1.8.1 to 1.8.3 (computed from the formula)"),
            &beam_ratios(),
            0.005,
        ),
        day_sum(),
        sunrise_hour(),
    ]
}

/// Declination, hour angle, zenith, azimuth from south (west positive), latitude 43; zenith and
/// azimuth as printed. Dates: 13 February 9:30, 1 July 18:30, 16 March 16:00 solar time.
const POSITIONS: [[f64; 5]; 3] = [
    [43.0, -14.0, -37.5, 66.5, -40.0],
    [181.0, 23.1, 97.5, 79.6, 112.0],
    [74.0, -2.4, 60.0, 70.3, 66.8],
];

fn positions() -> Check {
    let pairs: Vec<[f64; 2]> = POSITIONS
        .iter()
        .flat_map(|[day, declination, hour_angle, zenith, azimuth]| {
            let sun = Textbook::sun(43.0, *day, *declination, *hour_angle);
            [
                [sun.zenith_deg, *zenith],
                [sun.azimuth_deg - 180.0, *azimuth],
            ]
        })
        .collect();
    Check::table(
        "Sun's zenith and azimuth, latitude 43, three dates (the book rounds as it goes: 0.1 deg)",
        &format!("{DUFFIE}, examples 1.6.2 and 1.6.3"),
        &pairs,
        0.11,
    )
    .unit("deg")
}

/// Latitude, day, declination, hour angle, slope, azimuth from south, ratio.
const BEAM_RATIOS: [[f64; 7]; 3] = [
    [43.0, 43.0, -13.946, -22.5, 45.0, 15.0, 1.66],
    [40.0, 46.0, -12.954_6, -37.5, 30.0, 0.0, 1.612],
    [40.0, 46.0, -12.954_6, -37.5, 50.0, 0.0, 1.786],
];

fn beam_ratios() -> Vec<[f64; 2]> {
    BEAM_RATIOS
        .iter()
        .map(
            |[
                latitude,
                day,
                declination,
                hour_angle,
                slope,
                azimuth,
                ratio,
            ]| {
                let sun = Textbook::sun(*latitude, *day, *declination, *hour_angle);
                let on_slope = incidence_deg(sun, plane_normal(*slope, 180.0 + azimuth));
                let cos = |deg: f64| deg.to_radians().cos();
                [cos(on_slope) / cos(sun.zenith_deg), *ratio]
            },
        )
        .collect()
}

/// Every hour of a day at latitude 43, declination 9.415 degrees at noon, added up as a season adds it.
fn day_sum() -> Check {
    let noon = Textbook::new(43.0, 104.0, 9.415, 0.0);
    let sun = SunYear::new(43.0, noon.longitude_deg, 0.0);
    let first = noon.hour.floor() as usize - 12;
    let day_mj_m2: f64 = (first..first + 24)
        .map(|hour| sun.mean_of_hour(hour))
        .map(|hour| {
            hour.extraterrestrial_normal_w_m2 * hour.mean_direction[2] * hour.sunlit_share * 3.6e-3
        })
        .sum();
    Check::share_of(
        "Sun above the atmosphere over 15 April, latitude 43, on the horizontal (the book's fit of \
         the sun's distance is good to 0.3 %)",
        &format!("{DUFFIE}, example 1.10.1 (computed from the formula)"),
        day_mj_m2,
        33.77,
        0.003,
    )
    .unit("MJ/m2")
    .decimals(2)
}

/// Latitude 45, 4 March, slope 60 to the south, the hour from 6 to 7: the ratio in the middle of the
/// hour, 44, would multiply the beam of the whole hour.
fn sunrise_hour() -> Check {
    let book = Textbook::new(45.0, 62.0, -7.149, -82.5);
    let hour = book.hour.floor();
    // Turned so that the whole hour of the clock is the hour from 6 to 7 of the sun.
    let turned_deg = 15.0 * (book.hour - (hour + 0.5));
    let sun = SunYear::new(45.0, book.longitude_deg + turned_deg, 0.0);
    let light = sun.mean_of_hour(hour as usize);
    let ratio = light.cos_angle(plane_normal(60.0, 180.0)) / light.mean_direction[2];
    Check::share_of(
        "Mean ratio of beam on a slope of 60 deg to beam on the flat in the hour of sunrise, \
         latitude 45, 4 March (44 in the middle of that hour)",
        &format!("{DUFFIE}, example 2.14.1 (computed from the formula)"),
        ratio,
        4.61,
        0.01,
    )
    .decimals(2)
}

fn whole_years() -> Check {
    let mut pairs = Vec::new();
    for (climate, _) in CLIMATES {
        pairs.extend(position_pairs(climate));
    }
    Check::table(
        "Sun's place in the middle of every hour of a year, three climates from 36 to 63 deg north",
        PVLIB,
        &pairs,
        0.01,
    )
    .unit("deg")
}

/// Zenith, and azimuth as an arc on the sky: near the zenith a degree of azimuth is nothing.
fn position_pairs(climate: &str) -> Vec<[f64; 2]> {
    let file = CLIMATES.iter().find(|(name, _)| *name == climate);
    let (_, file) = file.expect("a climate of the fixtures");
    let place = years::shipped(file).expect("the year reads").place;
    let sun = SunYear::new(place.latitude_deg, place.longitude_deg, place.time_zone_h);
    let rows = Fixture::read(&format!("sun_and_sky_{climate}.csv"));
    let rows = rows.rows(["zenith_deg", "azimuth_deg"]);
    assert_eq!(rows.len(), 8760);
    rows.iter()
        .enumerate()
        .flat_map(|(hour, [zenith_deg, azimuth_deg])| {
            let ours = sun.position(hour as f64 + 0.5);
            let turned_deg = (ours.azimuth_deg - azimuth_deg + 180.0).rem_euclid(360.0) - 180.0;
            let across_deg = turned_deg * zenith_deg.to_radians().sin();
            [[ours.zenith_deg, *zenith_deg], [across_deg, 0.0]]
        })
        .collect()
}

#[test]
fn the_sun_of_each_climate_keeps_to_the_full_algorithm() {
    // Fixtures hold four decimals; the interpolation of a typical year is good to 1e-4 deg.
    for (climate, _) in CLIMATES {
        for (place, [ours, theirs]) in position_pairs(climate).into_iter().enumerate() {
            let hour = place / 2;
            assert!(
                (ours - theirs).abs() < 1e-3,
                "{climate}, hour {hour}: {ours} {theirs}"
            );
        }
    }
}

#[test]
fn every_printed_angle_of_the_textbook_is_met() {
    for [day, declination, hour_angle, zenith, azimuth] in POSITIONS {
        let sun = Textbook::sun(43.0, day, declination, hour_angle);
        assert!((sun.zenith_deg - zenith).abs() < 0.06, "{sun:?}");
        assert!((sun.azimuth_deg - 180.0 - azimuth).abs() < 0.11, "{sun:?}");
    }
    // Example 1.6.1: slope 45, 15 degrees west of south, 13 February 10:30: 35 degrees.
    let sun = Textbook::sun(43.0, 43.0, -14.0, -22.5);
    let angle = incidence_deg(sun, plane_normal(45.0, 195.0));
    assert!((angle - 35.0).abs() < 0.5, "{angle}");
    for [ours, published] in beam_ratios() {
        assert!((ours - published).abs() < 0.005, "{ours} {published}");
    }
}
