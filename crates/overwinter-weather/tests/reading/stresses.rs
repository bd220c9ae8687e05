//! Shipped years made colder, warmer, clearer and cloudier.

#![allow(
    clippy::float_cmp,
    reason = "values that must not change are compared to the bit"
)]

use super::shipped::{FILES, shipped};
use overwinter_physics::moist_air::saturation_pressure_over_water_pa;
use overwinter_physics::sky::{sky_longwave_w_m2, sky_temp_k};
use overwinter_physics::sun::SunYear;
use overwinter_weather::year::{HOURS, INSTANTS};
use overwinter_weather::{
    LongwaveSource, Stress, Unstressed, WeatherError, Year, cold_spell, nights_lowest_k,
};
use proptest::prelude::*;
use std::sync::{Arc, LazyLock};

static YEARS: LazyLock<Vec<(&str, Year)>> =
    LazyLock::new(|| FILES.iter().map(|name| (*name, shipped(name))).collect());

const ASKED: Stress = Stress::NONE;

fn under(year: &Year, stress: Stress) -> Year {
    stress.apply(year).unwrap()
}

fn lowest_k(year: &Year) -> f64 {
    year.air_temp_k
        .iter()
        .copied()
        .fold(f64::INFINITY, f64::min)
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Relative humidity over water, as weather services state it.
fn humidity(year: &Year, mark: usize) -> f64 {
    let [dew_pa, air_pa] =
        [year.dew_point_k[mark], year.air_temp_k[mark]].map(saturation_pressure_over_water_pa);
    dew_pa / air_pa
}

/// Hour marks that differ in air, dew point, longwave or cloud.
fn changed(a: &Year, b: &Year) -> Vec<usize> {
    let cloud = |year: &Year, mark: usize| year.cloud_cover.as_ref().map(|cover| cover[mark]);
    let differs = |mark: &usize| {
        let mark = *mark;
        a.air_temp_k[mark] != b.air_temp_k[mark]
            || a.dew_point_k[mark] != b.dew_point_k[mark]
            || a.sky_longwave_w_m2[mark] != b.sky_longwave_w_m2[mark]
            || cloud(a, mark) != cloud(b, mark)
    };
    (0..INSTANTS).filter(differs).collect()
}

/// What no stress touches, and what holds of any year of weather.
fn assert_coherent(name: &str, was: &Year, year: &Year) {
    assert_eq!(year.place, was.place, "{name}");
    assert_eq!(year.global_horizontal_w_m2, was.global_horizontal_w_m2);
    assert_eq!(year.direct_normal_w_m2, was.direct_normal_w_m2);
    assert_eq!(year.diffuse_horizontal_w_m2, was.diffuse_horizontal_w_m2);
    assert_eq!(year.pressure_pa, was.pressure_pa);
    assert_eq!(year.wind_m_s, was.wind_m_s);
    assert_eq!(year.wind_from_deg, was.wind_from_deg);
    assert_eq!(year.snow_depth_m, was.snow_depth_m);
    assert_eq!(year.ground_albedo, was.ground_albedo);
    assert_eq!(year.source_years, was.source_years);
    for mark in 0..INSTANTS {
        let (air_k, dew_k) = (year.air_temp_k[mark], year.dew_point_k[mark]);
        assert!(
            air_k.is_finite() && dew_k > 150.0,
            "{name}: {mark}: {dew_k}"
        );
        assert!(dew_k <= air_k, "{name}: {mark}: {dew_k} above {air_k}");
        let longwave = year.sky_longwave_w_m2[mark];
        assert!(longwave > 30.0, "{name}: {mark}: {longwave}");
        // A black body at air temperature, or what the file has beyond it.
        let beyond =
            was.sky_longwave_w_m2[mark] / sky_longwave_w_m2(was.air_temp_k[mark], 400.0, 1.0);
        let black = sky_longwave_w_m2(air_k, 400.0, 1.0);
        assert!(
            longwave <= black * beyond.max(1.0) * (1.0 + 1e-12),
            "{name}: {mark}"
        );
        if let Some(cover) = &year.cloud_cover {
            assert!((0.0..=1.0).contains(&cover[mark]), "{name}: {mark}");
        }
    }
    // The largest step of the air that the checks of a file call plausible, or the file's own.
    let largest_step = |year: &Year| {
        let steps = year
            .air_temp_k
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).abs());
        steps.fold(0.0, f64::max)
    };
    assert!(largest_step(year) <= largest_step(was).max(15.0), "{name}");
}

#[test]
fn nothing_asked_changes_no_bit() {
    for (name, year) in YEARS.iter() {
        assert!(ASKED.is_none());
        assert_eq!(under(year, ASKED), *year, "{name}");
        let own = Stress {
            coldest_k: Some(lowest_k(year)),
            ..ASKED
        };
        assert_eq!(under(year, own), *year, "{name}: its own coldest hour");
    }
}

#[test]
fn a_shift_moves_every_hour_and_keeps_the_humidity() {
    for (name, year) in YEARS.iter() {
        for warmer_k in [-6.5, -2.0, 1.25, 4.0] {
            let moved = under(year, Stress { warmer_k, ..ASKED });
            assert_coherent(name, year, &moved);
            let by_k = mean(&moved.air_temp_k) - mean(&year.air_temp_k);
            assert!((by_k - warmer_k).abs() < 1e-9, "{name}: {by_k}");
            for mark in 0..INSTANTS {
                assert_eq!(moved.air_temp_k[mark], year.air_temp_k[mark] + warmer_k);
                let off = humidity(&moved, mark) - humidity(year, mark);
                assert!(off.abs() < 1e-9, "{name}: {mark}: {off}");
            }
        }
    }
}

/// At 10 C and 50 % the dew point is 0.047 C, at 8 C and 50 % it is -1.800 C: Magnus form over water
/// with 17.625 and 243.04, worked out apart from this code.
#[test]
fn dew_point_of_the_same_humidity_by_hand() {
    let mut year = YEARS[0].1.clone();
    year.air_temp_k[5000] = 283.15;
    year.dew_point_k[5000] = 273.15 + 0.0467;
    let moved = under(
        &year,
        Stress {
            warmer_k: -2.0,
            ..ASKED
        },
    );
    let dew_c = moved.dew_point_k[5000] - 273.15;
    assert!((dew_c - -1.7997).abs() < 2e-4, "{dew_c}");
}

/// Where the longwave was modelled from cloud, the moved one is what the model gives with the same
/// cloud for the moved air.
#[test]
fn modelled_longwave_is_that_of_the_model() {
    let mut seen = 0;
    for (name, year) in YEARS.iter() {
        if year.longwave_source != LongwaveSource::ModelledWithCloud {
            continue;
        }
        seen += 1;
        let stress = Stress {
            warmer_k: -3.0,
            coldest_k: Some(lowest_k(year) - 10.0),
            ..ASKED
        };
        let moved = under(year, stress);
        let cover = moved.cloud_cover.as_ref().unwrap();
        for (mark, cover) in cover.iter().enumerate() {
            let model = sky_longwave_w_m2(moved.air_temp_k[mark], moved.dew_point_k[mark], *cover);
            let off = moved.sky_longwave_w_m2[mark] / model - 1.0;
            assert!(off.abs() < 1e-9, "{name}: {mark}: {off}");
        }
    }
    assert!(
        seen > 0,
        "a shipped file has its longwave modelled from cloud"
    );
}

/// Colder air under the same cloud sends less: the sky goes with the air, and a little further by what
/// the clear sky's emissivity loses. Of some 0.75 it loses 0.764 / 273 per kelvin of dew point, 0.37 %,
/// and a quarter of that is 0.09 % or 0.24 K of a sky at 260 K.
#[test]
fn a_sky_read_from_a_file_goes_with_its_air() {
    for (name, year) in YEARS.iter() {
        let moved = under(
            year,
            Stress {
                warmer_k: -4.0,
                ..ASKED
            },
        );
        let sky_k = |year: &Year| {
            let skies = year.sky_longwave_w_m2.iter().map(|w_m2| sky_temp_k(*w_m2));
            skies.sum::<f64>() / INSTANTS as f64
        };
        let by_k = sky_k(&moved) - sky_k(year);
        assert!((-5.2..-4.0).contains(&by_k), "{name}: {by_k}");
    }
}

#[test]
fn the_coldest_hour_is_the_stated_one_and_nothing_else_moves() {
    for (name, year) in YEARS.iter() {
        let spell = cold_spell(&year.air_temp_k);
        for deeper_k in [0.5, 6.0, 18.0] {
            let coldest_k = lowest_k(year) - deeper_k;
            let stress = Stress {
                coldest_k: Some(coldest_k),
                ..ASKED
            };
            let moved = under(year, stress);
            assert_coherent(name, year, &moved);
            assert_eq!(lowest_k(&moved), coldest_k, "{name}");
            assert_eq!(moved.air_temp_k[spell.lowest_mark], coldest_k, "{name}");
            let deepest_night = nights_lowest_k(&moved)
                .into_iter()
                .fold(f64::INFINITY, f64::min);
            assert_eq!(deepest_night, coldest_k, "{name}");
            let (from, to) = (HOURS - spell.before_h, HOURS + spell.after_h);
            for mark in changed(year, &moved) {
                let counted = [mark, mark + HOURS, mark + 2 * HOURS];
                let lowest = spell.lowest_mark;
                let is_inside = |at: &usize| (from + lowest..=to + lowest).contains(at);
                assert!(
                    counted.iter().any(is_inside),
                    "{name}: {mark} outside {spell:?}"
                );
            }
            // Edges join: the lowering changes by no more than the slope of its cosine.
            let steepest_k = 1.01 * deeper_k * std::f64::consts::FRAC_PI_2
                / spell.before_h.min(spell.after_h) as f64;
            let lowering: Vec<f64> = (0..INSTANTS)
                .map(|mark| year.air_temp_k[mark] - moved.air_temp_k[mark])
                .collect();
            for pair in lowering.windows(2) {
                assert!((pair[1] - pair[0]).abs() <= steepest_k, "{name}: {pair:?}");
                assert!(pair[0] >= 0.0, "{name}");
            }
        }
    }
}

/// A spell of three days drawn by hand: 10 K below an even year for 72 hours, lowest in its middle.
/// The daily mean falls below the mean of the season half a day before the step at the latest.
#[test]
fn a_spell_is_the_cold_days_around_the_lowest_hour() {
    let mut air_k = vec![275.0; INSTANTS];
    air_k[1000..1072].fill(265.0);
    air_k[1036] = 260.0;
    // Another cold night far away is not part of it, nor is an early one across a mild day.
    air_k[4000..4012].fill(261.0);
    air_k[900..912].fill(263.0);
    let spell = cold_spell(&air_k);
    assert_eq!(spell.lowest_mark, 1036);
    assert!((36..=50).contains(&spell.before_h), "{spell:?}");
    assert!((36..=50).contains(&spell.after_h), "{spell:?}");
}

/// Around the turn of the year, and where the mark at the end of the year repeats the first.
#[test]
fn a_spell_runs_through_the_turn_of_the_year() {
    let mut year = YEARS[1].1.clone();
    let even_k = mean(&year.air_temp_k);
    year.air_temp_k.fill(even_k);
    year.dew_point_k.fill(even_k - 5.0);
    year.air_temp_k[..20].fill(even_k - 8.0);
    year.air_temp_k[HOURS - 20..].fill(even_k - 8.0);
    year.air_temp_k[HOURS - 3] = even_k - 9.0;
    let coldest_k = even_k - 15.0;
    let moved = under(
        &year,
        Stress {
            coldest_k: Some(coldest_k),
            ..ASKED
        },
    );
    assert_eq!(lowest_k(&moved), coldest_k);
    assert_eq!(moved.air_temp_k[0], moved.air_temp_k[HOURS]);
    assert!(moved.air_temp_k[0] < year.air_temp_k[0] - 5.0);
    let marks = [
        HOURS - 6,
        HOURS - 5,
        HOURS - 4,
        HOURS - 3,
        HOURS - 2,
        HOURS - 1,
        0,
        1,
        2,
        3,
    ];
    let lowering = marks.map(|mark| year.air_temp_k[mark] - moved.air_temp_k[mark]);
    assert!(
        lowering
            .windows(2)
            .all(|pair| (pair[1] - pair[0]).abs() < 0.6),
        "{lowering:?}"
    );
}

#[test]
fn a_coldest_hour_that_is_not_colder_is_refused_with_both() {
    for (name, year) in YEARS.iter() {
        let stress = Stress {
            warmer_k: -3.0,
            coldest_k: Some(lowest_k(year) - 2.0),
            ..ASKED
        };
        let error = stress.apply(year).unwrap_err();
        let message = error.to_string();
        let [stated, own] = [2.0, 3.0].map(|k| format!("{:.2} degC", lowest_k(year) - 273.15 - k));
        assert!(
            message.contains(&stated) && message.contains(&own),
            "{name}: {message}"
        );
        assert!(matches!(error, WeatherError::NotColder { .. }));
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let year = &YEARS[0].1;
    for stress in [
        Stress {
            warmer_k: f64::NAN,
            ..ASKED
        },
        Stress {
            warmer_k: 15.5,
            ..ASKED
        },
        Stress {
            coldest_k: Some(f64::NAN),
            ..ASKED
        },
        Stress {
            coldest_k: Some(100.0),
            ..ASKED
        },
        Stress {
            cloudier_nights: 1.01,
            ..ASKED
        },
        Stress {
            cloudier_nights: f64::NEG_INFINITY,
            ..ASKED
        },
    ] {
        let error = stress.apply(year).unwrap_err();
        assert!(matches!(error, WeatherError::BadStress { .. }), "{error}");
    }
}

/// Zenith angle of the sun at each hour mark.
fn zeniths_deg(year: &Year) -> Vec<f64> {
    let place = &year.place;
    let sun = SunYear::new(place.latitude_deg, place.longitude_deg, place.time_zone_h);
    (0..INSTANTS)
        .map(|mark| sun.position(mark as f64).zenith_deg)
        .collect()
}

#[test]
fn nights_move_between_their_bounds_and_days_stay() {
    for (name, year) in YEARS.iter() {
        let zeniths_deg = zeniths_deg(year);
        for cloudier_nights in [-1.0, -0.5, 0.25, 1.0] {
            let moved = under(
                year,
                Stress {
                    cloudier_nights,
                    ..ASKED
                },
            );
            assert_coherent(name, year, &moved);
            assert_eq!(moved.air_temp_k, year.air_temp_k, "{name}");
            assert_eq!(moved.dew_point_k, year.dew_point_k, "{name}");
            let mut moved_marks = 0;
            for (mark, &zenith_deg) in zeniths_deg.iter().enumerate() {
                let (was, is) = (year.sky_longwave_w_m2[mark], moved.sky_longwave_w_m2[mark]);
                if zenith_deg <= 90.0 {
                    assert_eq!(is, was, "{name}: {mark} by day");
                    continue;
                }
                let cover = if cloudier_nights > 0.0 { 1.0 } else { 0.0 };
                let bound = sky_longwave_w_m2(year.air_temp_k[mark], year.dew_point_k[mark], cover);
                let share = if was == bound {
                    0.0
                } else {
                    (is - was) / (bound - was)
                };
                assert!(
                    (0.0..=cloudier_nights.abs() + 1e-9).contains(&share),
                    "{name}: {share}"
                );
                let is_towards = (is - was) * cloudier_nights >= 0.0;
                assert!(is_towards, "{name}: {mark} moved away from its bound");
                let is_dark = zenith_deg >= 96.0;
                if is_dark && (bound - was) * cloudier_nights > 0.0 {
                    assert!(
                        (share - cloudier_nights.abs()).abs() < 1e-6,
                        "{name}: {share}"
                    );
                }
                moved_marks += usize::from(is != was);
            }
            assert!(moved_marks > 500, "{name}: {moved_marks}");
        }
    }
}

#[test]
fn the_whole_way_is_the_clear_sky_itself() {
    for (name, year) in YEARS.iter() {
        let moved = under(
            year,
            Stress {
                cloudier_nights: -1.0,
                ..ASKED
            },
        );
        for (mark, zenith_deg) in zeniths_deg(year).into_iter().enumerate() {
            let clear = sky_longwave_w_m2(year.air_temp_k[mark], year.dew_point_k[mark], 0.0);
            if zenith_deg >= 96.0 && year.sky_longwave_w_m2[mark] >= clear {
                assert_eq!(moved.sky_longwave_w_m2[mark], clear, "{name}: {mark}");
                if let Some(cover) = &moved.cloud_cover {
                    assert_eq!(cover[mark], 0.0, "{name}: {mark}");
                }
            }
        }
    }
}

fn asked() -> impl Strategy<Value = (usize, Stress, f64)> {
    let deeper_k = prop_oneof![Just(0.0), 0.0..25.0_f64];
    (0..FILES.len(), -8.0..8.0_f64, deeper_k, -1.0..1.0_f64).prop_map(
        |(file, warmer_k, deeper_k, cloudier_nights)| {
            let stress = Stress {
                warmer_k,
                coldest_k: None,
                cloudier_nights,
            };
            (file, stress, deeper_k)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn any_stress_gives_a_year_that_could_be((file, stress, deeper_k) in asked()) {
        let (name, year) = &YEARS[file];
        let coldest_k = lowest_k(year) + stress.warmer_k - deeper_k;
        let stress = Stress { coldest_k: Some(coldest_k), ..stress };
        let moved = under(year, stress);
        assert_coherent(name, year, &moved);
        prop_assert!((lowest_k(&moved) - coldest_k).abs() < 1e-9);
        prop_assert_eq!(stress.air_temp_k(year).unwrap(), moved.air_temp_k.clone());
        let shared = Unstressed::new(Arc::new(year.clone()));
        prop_assert_eq!(&*shared.under(&stress).unwrap(), &moved);
        prop_assert!(Arc::ptr_eq(&shared.under(&ASKED).unwrap(), shared.year()));
    }
}
