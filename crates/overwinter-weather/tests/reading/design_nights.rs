//! A design night laid into every shipped year.

#![allow(
    clippy::float_cmp,
    reason = "values that must not change are compared to the bit"
)]

use super::shipped::{FILES, shipped};
use overwinter_physics::sky::sky_longwave_w_m2;
use overwinter_weather::design_night::{CALM_WIND_M_S, WINDY_WITHOUT_FROST_M_S};
use overwinter_weather::year::{HOURS, INSTANTS};
use overwinter_weather::{
    DesignNight, DesignSky, Year, design_night, night_hours, nights_lowest_k, summarise,
};

const SKIES: [DesignSky; 2] = [DesignSky::ClearCalm, DesignSky::CloudyWindy];

/// True at the hour marks from the noon before the night to seven days later.
fn window(night: &DesignNight) -> Vec<bool> {
    let noon = 24 * night.night_day + 12;
    let mut is_inside = vec![false; INSTANTS];
    for mark in noon..=noon + 168 {
        is_inside[mark % HOURS] = true;
    }
    is_inside[HOURS] = is_inside[0];
    is_inside
}

fn of_every_year(check: impl Fn(&str, &Year, &DesignNight)) {
    for name in FILES {
        let year = shipped(name);
        for sky in SKIES {
            check(name, &year, &design_night(&year, sky));
        }
    }
}

#[test]
fn lowest_of_the_night_is_the_design_temperature() {
    of_every_year(|name, year, night| {
        let design_k = summarise(year).exceeded_99_6_percent_c + 273.15;
        let lowest_k = nights_lowest_k(&night.year)[night.night_day];
        assert!((lowest_k - design_k).abs() < 1e-9, "{name}: {lowest_k}");
        assert!((night.lowest_k - design_k).abs() < 1e-9, "{name}");
    });
}

#[test]
fn dew_point_depression_is_kept() {
    of_every_year(|name, year, night| {
        for mark in 0..INSTANTS {
            let depression_k = |year: &Year| year.air_temp_k[mark] - year.dew_point_k[mark];
            let moved_k = depression_k(&night.year) - depression_k(year);
            assert!(moved_k.abs() < 1e-9, "{name}: {mark}");
            assert!(depression_k(&night.year) >= 0.0, "{name}: {mark}");
        }
    });
}

#[test]
fn nothing_outside_the_window_changes() {
    of_every_year(|name, year, night| {
        let mut restored = night.year.clone();
        for (mark, _) in window(night)
            .iter()
            .enumerate()
            .filter(|(_, is_in)| **is_in)
        {
            restored.air_temp_k[mark] = year.air_temp_k[mark];
            restored.dew_point_k[mark] = year.dew_point_k[mark];
            restored.wind_m_s[mark] = year.wind_m_s[mark];
            restored.sky_longwave_w_m2[mark] = year.sky_longwave_w_m2[mark];
            if let (Some(to), Some(from)) = (&mut restored.cloud_cover, &year.cloud_cover) {
                to[mark] = from[mark];
            }
        }
        assert_eq!(restored, *year, "{name}");
        assert_eq!(night.year.air_temp_k[0], night.year.air_temp_k[HOURS]);
    });
}

#[test]
fn sky_and_wind_are_the_stated_ones_all_window() {
    of_every_year(|name, year, night| {
        let share = f64::from(u8::from(night.sky == DesignSky::CloudyWindy));
        for (mark, is_inside) in window(night).into_iter().enumerate() {
            if !is_inside {
                continue;
            }
            let made = &night.year;
            let (air_k, dew_k) = (made.air_temp_k[mark], made.dew_point_k[mark]);
            let longwave_w_m2 = sky_longwave_w_m2(air_k, dew_k, share);
            assert_eq!(made.sky_longwave_w_m2[mark], longwave_w_m2, "{name}");
            assert_eq!(made.wind_m_s[mark], night.wind_m_s, "{name}");
            let cover = made.cloud_cover.as_ref().map(|cover| cover[mark]);
            assert_eq!(cover, year.cloud_cover.as_ref().map(|_| share), "{name}");
        }
    });
}

/// The clear sky is the colder one at every mark, by 15 % of its irradiance: the factor of a full
/// cover is 1.154 (Walton 1983, NBSIR 83-2655).
#[test]
fn clear_sky_sends_less_than_an_overcast_one() {
    for name in FILES {
        let year = shipped(name);
        let [clear, cloudy] = SKIES.map(|sky| design_night(&year, sky));
        assert_eq!(clear.night_day, cloudy.night_day, "{name}");
        for (mark, _) in window(&clear)
            .iter()
            .enumerate()
            .filter(|(_, is_in)| **is_in)
        {
            let ratio = cloudy.year.sky_longwave_w_m2[mark] / clear.year.sky_longwave_w_m2[mark];
            assert!((ratio - 1.154).abs() < 1e-9, "{name}: {ratio}");
        }
    }
}

/// Bounds are a choice: 99.6 % of a year of hours leaves 35 colder ones, so that the night moved
/// lies within 2 K of it at every shipped place; the wind of a windy night between a breeze and a
/// storm.
#[test]
fn every_shipped_climate_has_a_plausible_night() {
    of_every_year(|name, year, night| {
        let moved_k = night.lowest_k - nights_lowest_k(year)[night.night_day];
        assert!(moved_k.abs() < 2.0, "{name}: moved by {moved_k} K");
        let day = night.night_day;
        assert!(!(45..=330).contains(&day), "{name}: day {day}");
        match night.sky {
            DesignSky::ClearCalm => assert_eq!(night.wind_m_s, CALM_WIND_M_S, "{name}"),
            DesignSky::CloudyWindy => {
                assert!(
                    (1.5..20.0).contains(&night.wind_m_s),
                    "{name}: {}",
                    night.wind_m_s
                );
            }
        }
    });
}

/// A year of 280 K with 24 hour marks of 270 K in one night and twelve of 269 K in another: 35 of
/// 8,760 marks may lie below the 99.6 % temperature, which is therefore 270 K.
fn year_with_two_cold_nights(at_270_k: usize, at_269_k: usize) -> Year {
    let mut year = shipped("723170-greensboro-nc-tmy3.csv");
    year.source_years = None;
    year.dew_point_k.fill(260.0);
    year.air_temp_k.fill(280.0);
    for (night, marks, temp_k) in [(at_270_k, 24, 270.0), (at_269_k, 12, 269.0)] {
        let noon = 24 * night + 12;
        for mark in noon..noon + marks {
            year.air_temp_k[mark % HOURS] = temp_k;
        }
    }
    year.air_temp_k[HOURS] = year.air_temp_k[0];
    year
}

#[test]
fn night_at_a_join_of_two_years_is_passed_over() {
    let mut year = year_with_two_cold_nights(30, 200);
    let of = |year: &Year| design_night(year, DesignSky::ClearCalm).night_day;
    assert_eq!(of(&year), 30);
    year.source_years = Some([1999; 12]);
    assert_eq!(of(&year), 30);
    year.source_years = Some([1988, 1999, 1999, 1999, 1999, 1999, 1, 1, 1, 1, 1, 1]);
    assert_eq!(of(&year), 200);
    let night = design_night(&year, DesignSky::ClearCalm);
    assert_eq!(nights_lowest_k(&night.year)[200], 270.0);
}

#[test]
fn a_night_at_the_end_of_the_year_wraps() {
    let year = year_with_two_cold_nights(364, 200);
    let night = design_night(&year, DesignSky::ClearCalm);
    assert_eq!((night.night_day, night.lowest_k), (364, 270.0));
    for mark in [8748, HOURS, 0, 156] {
        assert_eq!(night.year.wind_m_s[mark], CALM_WIND_M_S);
    }
    for mark in [8747, 157] {
        assert_eq!(night.year.wind_m_s[mark], year.wind_m_s[mark]);
    }
}

#[test]
fn a_year_without_frost_has_the_stated_wind() {
    let mut year = shipped("723170-greensboro-nc-tmy3.csv");
    for temp_k in year.air_temp_k.iter_mut().chain(&mut year.dew_point_k) {
        *temp_k += 40.0;
    }
    let night = design_night(&year, DesignSky::CloudyWindy);
    assert_eq!(night.wind_m_s, WINDY_WITHOUT_FROST_M_S);
}

/// The coldest night of the summary is the lowest of all nights.
#[test]
fn lowest_of_all_nights_is_the_lowest_of_the_year() {
    for name in FILES {
        let year = shipped(name);
        let nights_k = nights_lowest_k(&year);
        assert_eq!(nights_k.len(), 365);
        let lowest_c = nights_k.iter().copied().fold(f64::INFINITY, f64::min) - 273.15;
        let coldest = &summarise(&year).coldest_nights[0];
        assert!((lowest_c - coldest.air_temp_c).abs() < 1e-9, "{name}");
        let night = (coldest.instant + HOURS - 12) % HOURS / 24;
        assert!((nights_k[night] - 273.15 - lowest_c).abs() < 1e-9, "{name}");
    }
}

/// No radiation stands in the hours between dusk and dawn but what a file's stamp or the twilight
/// leaves in the hour next to the sun.
#[test]
fn files_have_no_sun_between_dusk_and_before_dawn() {
    for name in FILES {
        let year = shipped(name);
        for (night, hours) in night_hours(&year.place).iter().enumerate() {
            let dark = hours.dusk + 1..hours.before_dawn;
            let sun_w_m2 = dark.map(|hour| year.global_horizontal_w_m2[hour % HOURS]);
            let brightest_w_m2 = sun_w_m2.fold(0.0, f64::max);
            assert!(
                brightest_w_m2 < 15.0,
                "{name}, night {night}: {brightest_w_m2}"
            );
        }
    }
}
