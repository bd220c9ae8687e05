use super::*;

#[test]
fn position_follows_the_published_worked_example() {
    // Reda and Andreas (2004), appendix: 17 October 2003, 12:30:30, UTC-7.
    let air = RefractingAir {
        pressure_hpa: 820.0,
        temp_c: 11.0,
    };
    let julian_day = 2_452_930.5 - 0.5 + (7.0 + 30.0 / 60.0 + 30.0 / 3600.0) / 24.0;
    let sun = sun_position(39.742476, -105.1786, 1830.14, julian_day, 67.0, Some(air));
    assert!((sun.zenith_deg - 50.11162).abs() < 1e-4, "{sun:?}");
    assert!((sun.azimuth_deg - 194.340241).abs() < 1e-4, "{sun:?}");
}

#[test]
fn interpolated_year_keeps_to_the_full_algorithm() {
    for (latitude, longitude, zone) in [
        (39.83, -104.65, -7.0),
        (64.0, 25.5, 2.0),
        (-33.9, 151.2, 10.0),
        (0.1, 179.9, -12.0),
    ] {
        let year = SunYear::new(latitude, longitude, zone);
        for hour in (0..8760_u32).step_by(7) {
            let hour = f64::from(hour) + 0.3;
            let julian_day = TYPICAL_YEAR_START_JD + (hour - zone) / 24.0;
            let full = sun_position(latitude, longitude, 0.0, julian_day, 64.3, None);
            let got = year.position(hour);
            let off = (got.azimuth_deg - full.azimuth_deg + 180.0).rem_euclid(360.0) - 180.0;
            let across = off * full.zenith_deg.to_radians().sin();
            assert!((got.zenith_deg - full.zenith_deg).abs() < 1e-4, "{hour}");
            assert!(across.abs() < 1e-4, "{hour}: {got:?} {full:?}");
        }
    }
}

#[test]
fn textbook_positions_from_declination_and_hour_angle() {
    // Duffie and Beckman, Solar Engineering of Thermal Processes, examples 1.6.2 and 1.6.3:
    // declination, hour angle, zenith, azimuth from south (west positive), all deg, lat 43.
    for [declination, hour_angle, zenith, azimuth] in [
        [-14.0, -37.5, 66.5, -40.0],
        [23.1, 97.5, 79.6, 112.0],
        [-2.4, 60.0, 70.3, 66.8],
    ] {
        let year = SunYear::new(43.0, 0.0, 0.0);
        let sun = Midnight {
            declination_rad: f64::to_radians(declination),
            equation_of_time_rad: 0.0,
            distance_au: 1.0,
        };
        let [east, north, up] = year.direction(&sun, f64::to_radians(hour_angle), 1.0);
        assert!((up.acos().to_degrees() - zenith).abs() < 0.06);
        // The book rounds the zenith before it goes on to the azimuth: by hand, -40.10.
        assert!(((-east).atan2(-north).to_degrees() - azimuth).abs() < 0.11);
    }
    // Example 1.6.3: sunset hour angle 87.8 deg.
    let sunset = SunYear::new(43.0, 0.0, 0.0).sunset_hour_angle(f64::to_radians(-2.4));
    assert!((sunset.to_degrees() - 87.8).abs() < 0.06);
}

#[test]
fn air_mass_of_two_published_points() {
    // Zenith and air mass as printed with the test data of an open library for photovoltaics.
    for [zenith_deg, air_mass] in [[82.854_570_44, 7.588_315_96], [72.416_871_22, 3.279_304_43]] {
        assert!((relative_air_mass_kasten_young1989(zenith_deg) - air_mass).abs() < 1e-6);
    }
    // Kasten and Young (1989): 38 at the horizon (from memory).
    assert!((relative_air_mass_kasten_young1989(95.0) - 37.92).abs() < 0.01);
}

#[test]
fn mean_of_an_hour_is_the_mean_of_its_instants() {
    let year = SunYear::new(39.83, -104.65, -7.0);
    // 09:00 on 20 January: sunlit all along. 07:00 is the hour of sunrise.
    for (hour, sunlit) in [(19 * 24 + 9, 1.0), (19 * 24 + 7, 0.7)] {
        let mean = year.mean_of_hour(hour);
        let samples = 20_000;
        let mut sum = [0.0; 3];
        let mut lit = 0.0;
        for i in 0..samples {
            let now = year.at_instant(hour, (f64::from(i) + 0.5) / f64::from(samples));
            lit += now.sunlit_share;
            for (total, part) in sum.iter_mut().zip(now.mean_direction) {
                *total += part;
            }
        }
        assert!((mean.sunlit_share - lit / f64::from(samples)).abs() < 1e-3);
        assert!((mean.sunlit_share - sunlit).abs() < 0.1);
        for (total, got) in sum.into_iter().zip(mean.mean_direction) {
            assert!((total / lit - got).abs() < 2e-4);
        }
    }
}

#[test]
fn distance_follows_the_textbook_fit() {
    // Duffie and Beckman, equation 1.4.1a: 1 + 0.033 cos(360 n / 365), good to 0.3 %.
    let year = SunYear::new(40.0, -105.0, -7.0);
    for day in [2_u16, 51, 120, 185, 300] {
        let fit = 1367.0 * (1.0 + 0.033 * (TAU * f64::from(day) / 365.0).cos());
        let got = year.mean_of_hour(usize::from(day - 1) * 24 + 12);
        assert!((got.extraterrestrial_normal_w_m2 / fit - 1.0).abs() < 3e-3);
    }
}

#[test]
fn polar_days_and_bad_places_do_not_break() {
    let north = SunYear::new(90.0, 0.0, 0.0);
    assert!(north.mean_of_hour(100).sunlit_share < 1e-9);
    assert!((north.mean_of_hour(172 * 24).sunlit_share - 1.0).abs() < 1e-9);
    assert!((north.mean_of_hour(172 * 24).cos_zenith() - 0.3977).abs() < 1e-3);
    let beyond = SunYear::new(f64::NAN, f64::INFINITY, 1e9);
    assert!(beyond.mean_of_hour(8759).cos_zenith() >= 0.0);
    let nowhere = sun_position(95.0, 0.0, 0.0, 2_452_275.5, 64.0, None);
    assert!(nowhere.zenith_deg.is_nan());
}
