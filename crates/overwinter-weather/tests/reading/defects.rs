//! One defect at a time in a made-up year: what is mended, counted, or refused, and at which line.

use super::made_up::{EPW_HEADING, Row, at, epw, note, read, row, rows, tmy3, year};
use overwinter_weather::{LongwaveSource, WeatherError, Year, clock_correction_h, clock_offset_h};
use overwinter_weather::{read_bytes, with_clock_corrected};

/// The TMY3 year with some rows edited.
fn edited(edit: impl Fn(&mut Vec<Row>)) -> String {
    let mut rows = rows();
    edit(&mut rows);
    tmy3(&rows)
}

fn edited_epw(edit: impl Fn(&mut Vec<Row>)) -> String {
    let mut rows = rows();
    edit(&mut rows);
    epw(&rows)
}

/// Line of a row in the TMY3 text.
fn line_of(index: usize) -> usize {
    index + 3
}

#[test]
fn a_year_without_a_defect_has_no_note_but_the_modelled_longwave() {
    let year = year(&tmy3(&rows()));
    super::made_up::assert_whole(&year);
    let defects: Vec<&str> = year.notes.iter().map(|note| note.defect.as_str()).collect();
    assert_eq!(defects, ["no longwave from the sky"]);
    let from_epw = read(&epw(&rows())).unwrap();
    assert_eq!(from_epw.notes, []);
    assert_eq!(from_epw.longwave_source, LongwaveSource::File);
    assert_eq!(year.air_temp_k, from_epw.air_temp_k);
    assert_eq!(year.global_horizontal_w_m2, from_epw.global_horizontal_w_m2);
}

// --- text ---------------------------------------------------------------------------------------

#[test]
fn byte_order_mark_is_dropped_and_noted() {
    let year = year(&format!("\u{feff}{}", epw(&rows())));
    assert_eq!(note(&year, "byte order mark"), Some((1, 1)));
}

#[test]
fn latin_1_heading_is_read() {
    let text = epw(&rows()).replace("Test Field", "Test F~ld");
    let bytes: Vec<u8> = text
        .bytes()
        .map(|byte| if byte == b'~' { 0xE9 } else { byte })
        .collect();
    let year = read_bytes(&bytes, "made-up").unwrap();
    assert_eq!(year.place.name, "Test F\u{e9}ld");
    assert!(note(&year, "not UTF-8").is_some());
}

#[test]
fn line_ends_blank_lines_and_trailing_commas_do_not_matter() {
    let plain = year(&tmy3(&rows()));
    let carriage_returns = tmy3(&rows()).replace('\n', "\r\n");
    assert_eq!(year(&carriage_returns), plain);
    assert_eq!(year(tmy3(&rows()).trim_end()), plain);
    assert_eq!(year(&format!("{}\n\n,,,\n", tmy3(&rows()))), plain);
    let commas = tmy3(&rows())
        .lines()
        .skip(2)
        .fold(String::new(), |text, line| text + line + ",,\n");
    let heading: String = tmy3(&rows())
        .lines()
        .take(2)
        .map(|line| format!("{line}\n"))
        .collect();
    assert_eq!(year(&(heading + &commas)).air_temp_k, plain.air_temp_k);
}

#[test]
fn titles_are_found_by_name_in_any_case_and_order() {
    let text = tmy3(&rows())
        .replace("DNI (W/m^2)", " dni (w/M^2)) ")
        .replace("Alb (unitless)", "ALB (UNITLESS),,Alb (unitless)");
    assert_eq!(
        year(&text).ground_albedo,
        year(&tmy3(&rows())).ground_albedo
    );
}

#[test]
fn a_long_comment_line_is_read() {
    let text = epw(&rows()).replace(
        "COMMENTS 1,none",
        &format!("COMMENTS 1,{}", "x".repeat(9000)),
    );
    assert!(read(&text).is_ok());
}

// --- stamps and rows ----------------------------------------------------------------------------

#[test]
fn spreadsheet_dates_and_hours_are_read() {
    let text = edited(|rows| {
        for row in rows {
            row.date = format!("{}/{}/1999", row.month, row.day);
            row.time = match row.hour {
                24 => "24:00:00".to_owned(),
                hour => format!("{hour}:00"),
            };
        }
    });
    assert_eq!(year(&text), year(&tmy3(&rows())));
}

fn next_day(row: &Row) -> String {
    let [mut month, mut day] = [row.month, row.day + 1];
    if day > super::made_up::DAYS[month as usize - 1] {
        (month, day) = (month % 12 + 1, 1);
    }
    format!("{month}/{day}/1999")
}

#[test]
fn midnight_as_hour_0_of_the_same_or_the_next_day() {
    let same = edited(|rows| {
        rows.iter_mut()
            .filter(|row| row.hour == 24)
            .for_each(|row| row.time = "00:00".to_owned());
    });
    let next = edited(|rows| {
        for row in rows.iter_mut().filter(|row| row.hour == 24) {
            row.time = "00:00".to_owned();
            row.date = next_day(row);
        }
    });
    for text in [same, next] {
        let year = year(&text);
        assert_eq!(
            note(&year, "midnight written as hour 0"),
            Some((365, line_of(23)))
        );
        assert_eq!(year.air_temp_k, self::year(&tmy3(&rows())).air_temp_k);
    }
}

#[test]
fn midnight_of_28_february_rolled_into_a_leap_day_is_read() {
    let text = edited(|rows| {
        for row in rows.iter_mut().filter(|row| row.hour == 24) {
            row.time = "00:00".to_owned();
            row.date = match (row.month, row.day) {
                (2, 28) => "2/29/2000".to_owned(),
                _ => next_day(row),
            };
        }
    });
    assert!(read(&text).is_ok());
}

#[test]
fn hours_from_0_to_23_mean_the_same_rows() {
    let text = edited(|rows| {
        rows.iter_mut()
            .for_each(|row| row.time = format!("{:02}:00", row.hour - 1));
    });
    let got = year(&text);
    assert_eq!(got.air_temp_k, year(&tmy3(&rows())).air_temp_k);
    assert_eq!(note(&got, "hours labelled 0 to 23"), Some((8760, 3)));
}

#[test]
fn leap_day_rows_are_dropped_and_counted() {
    let text = edited(|rows| {
        let leap_day: Vec<Row> = (1..=24).map(|hour| row(2, 29, hour)).collect();
        rows.splice(at(3, 1, 1)..at(3, 1, 1), leap_day);
    });
    let year = year(&text);
    assert_eq!(note(&year, "29 February"), Some((24, line_of(at(3, 1, 1)))));
    assert_eq!(year.air_temp_k, self::year(&tmy3(&rows())).air_temp_k);
}

#[test]
fn leap_day_with_midnight_as_hour_0_is_dropped() {
    let text = edited(|rows| {
        let leap_day: Vec<Row> = (1..=24).map(|hour| row(2, 29, hour)).collect();
        rows.splice(at(3, 1, 1)..at(3, 1, 1), leap_day);
        for row in rows.iter_mut().filter(|row| row.hour == 24) {
            row.time = "00:00".to_owned();
            row.date = match (row.month, row.day) {
                (2, 28) => "2/29/1999".to_owned(),
                (2, 29) => "3/1/1999".to_owned(),
                _ => next_day(row),
            };
        }
    });
    let year = year(&text);
    assert_eq!(note(&year, "29 February").map(|(count, _)| count), Some(24));
}

#[test]
fn repeated_first_row_is_dropped() {
    let text = edited(|rows| {
        let last = rows[8759].clone();
        rows.insert(0, last);
    });
    let year = year(&text);
    assert_eq!(note(&year, "31 December repeated"), Some((1, 3)));
}

#[test]
fn months_out_of_year_order_stay_in_file_order() {
    let text = edited(|rows| {
        for row in rows {
            let from = 1990 - (row.month % 5);
            row.date = format!("{:02}/{:02}/{from}", row.month, row.day);
        }
    });
    let year = year(&text);
    assert_eq!(year.air_temp_k, self::year(&tmy3(&rows())).air_temp_k);
    assert_eq!(
        year.source_years.map(|years| (years[0], years[3])),
        Some((1989, 1986))
    );
}

#[test]
fn missing_and_doubled_rows_are_named_by_line() {
    let missing = edited(|rows| {
        rows.remove(100);
    });
    match read(&missing) {
        Err(WeatherError::RowOutOfOrder {
            line,
            found,
            wanted,
            ..
        }) => {
            assert_eq!(line, line_of(100));
            assert_eq!(found, "month 1 day 5 hour 6");
            assert_eq!(wanted, "month 1 day 5 hour 5");
        }
        other => panic!("{other:?}"),
    }
    let doubled = edited(|rows| {
        let row = rows[100].clone();
        rows.insert(100, row);
    });
    match read(&doubled) {
        Err(WeatherError::RowOutOfOrder { line, .. }) => assert_eq!(line, line_of(101)),
        other => panic!("{other:?}"),
    }
}

#[test]
fn repeated_28_february_is_named() {
    let text = edited(|rows| {
        let day: Vec<Row> = rows[at(2, 28, 1)..at(3, 1, 1)].to_vec();
        rows.splice(at(3, 1, 1)..at(3, 1, 1), day);
        rows.truncate(8760);
    });
    match read(&text) {
        Err(WeatherError::RowOutOfOrder { line, .. }) => assert_eq!(line, line_of(at(3, 1, 1))),
        other => panic!("{other:?}"),
    }
}

#[test]
fn truncated_file_names_its_last_row() {
    let text = edited(|rows| rows.truncate(5000));
    match read(&text) {
        Err(WeatherError::Truncated {
            line, last, rows, ..
        }) => {
            assert_eq!((line, rows), (line_of(4999), 5000));
            assert_eq!(last, "month 7 day 28 hour 8");
        }
        other => panic!("{other:?}"),
    }
    match read(&tmy3(&[])) {
        Err(WeatherError::Truncated { rows: 0, .. }) => {}
        other => panic!("{other:?}"),
    }
}

#[test]
fn row_cut_in_the_middle_is_named() {
    let whole = tmy3(&rows());
    let cut = whole
        .lines()
        .nth(5000)
        .map_or(0, |line| whole.find(line).unwrap())
        + 22;
    match read(&whole[..cut]) {
        Err(WeatherError::ShortRow { line, .. }) => assert_eq!(line, 5001),
        other => panic!("{other:?}"),
    }
}

#[test]
fn rows_after_the_end_of_the_year_are_named() {
    let text = edited(|rows| {
        let extra = rows[..3].to_vec();
        rows.extend(extra);
    });
    match read(&text) {
        Err(WeatherError::TooManyRows { line, rows, .. }) => {
            assert_eq!((line, rows), (line_of(8760), 8761));
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn half_hourly_rows_are_refused_by_name() {
    let half_hourly = edited(|rows| {
        let doubled: Vec<Row> = rows
            .iter()
            .flat_map(|row| {
                let early = Row {
                    time: format!("{:02}:30", row.hour - 1),
                    ..row.clone()
                };
                [early, row.clone()]
            })
            .collect();
        *rows = doubled;
    });
    match read(&half_hourly) {
        Err(WeatherError::SubHourly { per_hour: 2, .. }) => {}
        other => panic!("{other:?}"),
    }
    let declared = epw(&rows()).replace("DATA PERIODS,1,1,", "DATA PERIODS,1,4,");
    match read(&declared) {
        Err(WeatherError::SubHourly {
            per_hour: 4,
            line: 8,
            ..
        }) => {}
        other => panic!("{other:?}"),
    }
}

// --- values -------------------------------------------------------------------------------------

#[test]
fn short_gaps_of_the_air_are_filled_by_a_line() {
    let text = edited(|rows| {
        for (index, code) in ["-9900", "?", "", "99.9", "999.9", "9999"]
            .into_iter()
            .enumerate()
        {
            rows[1000 + index].air = code.to_owned();
        }
    });
    let year = year(&text);
    let clean = self::year(&tmy3(&rows()));
    assert_eq!(
        note(&year, "air temperature missing"),
        Some((6, line_of(1000)))
    );
    assert_eq!(
        note(&year, "air temperature filled"),
        Some((6, line_of(1000)))
    );
    // Row r stands at mark r + 1: a line from mark 1000 to mark 1007.
    let (from, to) = (clean.air_temp_k[1000], clean.air_temp_k[1007]);
    for step in 1..=6 {
        let expected = from + (to - from) * f64::from(step) / 7.0;
        assert!((year.air_temp_k[1000 + step as usize] - expected).abs() < 1e-9);
    }
}

#[test]
fn gap_beyond_six_hours_is_an_error_that_names_it() {
    let text = edited(|rows| {
        rows[1000..1007]
            .iter_mut()
            .for_each(|row| row.air = "-9900".to_owned());
    });
    match read(&text) {
        Err(WeatherError::Gap {
            line,
            column,
            hours,
            limit_h,
            ..
        }) => {
            assert_eq!((line, hours, limit_h), (line_of(1000), 7, 6));
            assert_eq!(column, "air temperature");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn sun_gaps_by_day_are_bridged_for_two_hours_and_by_night_are_nothing() {
    let noon = at(6, 1, 12);
    let gap = |length: usize| {
        edited(move |rows| {
            for row in &mut rows[noon..noon + length] {
                for cell in [&mut row.global, &mut row.direct, &mut row.diffuse] {
                    "-9900".clone_into(cell);
                }
            }
        })
    };
    let year = year(&gap(2));
    assert_eq!(
        note(&year, "global horizontal radiation filled"),
        Some((2, line_of(noon)))
    );
    match read(&gap(3)) {
        Err(WeatherError::Gap {
            hours: 3,
            limit_h: 2,
            line,
            ..
        }) => assert_eq!(line, line_of(noon)),
        other => panic!("{other:?}"),
    }
    let night = edited(|rows| {
        for row in rows.iter_mut().filter(|row| row.hour < 4 || row.hour > 21) {
            "-9900".clone_into(&mut row.global);
        }
    });
    assert!(self::year(&night).global_horizontal_w_m2[0].abs() < 1e-12);
}

#[test]
fn text_where_a_number_should_be_is_named() {
    let text = edited(|rows| rows[10].air = "mild".to_owned());
    match read(&text) {
        Err(WeatherError::BadNumber {
            line,
            column,
            value,
            ..
        }) => {
            assert_eq!(
                (line, column.as_str(), value.as_str()),
                (13, "Dry-bulb (C)", "mild")
            );
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn impossible_values_count_as_missing() {
    for text in ["-140", "75", "inf", "nan", "1e300"] {
        let year = year(&edited(|rows| rows[50].air = text.to_owned()));
        assert!(note(&year, "air temperature filled").is_some(), "{text}");
    }
}

#[test]
fn dew_point_above_the_air_is_lowered_and_counted() {
    let text = edited(|rows| {
        rows[10..15]
            .iter_mut()
            .for_each(|row| row.dew = "20.0".to_owned())
    });
    let year = year(&text);
    assert_eq!(note(&year, "dew point above air"), Some((5, line_of(10))));
    assert!((year.dew_point_k[11] - year.air_temp_k[11]).abs() < 1e-12);
}

#[test]
fn missing_dew_point_comes_from_the_humidity() {
    // 60 % over water at 10 C: dew point 2.6 C (ASHRAE Fundamentals 2017, chapter 1, table 3:
    // 1228.0 Pa at 10 C; 0.6 of it is the saturation pressure at 2.6 C, between 705.99 Pa at 2 C and
    // 758.08 Pa at 3 C; from memory).
    let text = edited(|rows| {
        for row in &mut rows[10..40] {
            "-9900".clone_into(&mut row.dew);
            "10.0".clone_into(&mut row.air);
        }
    });
    let year = year(&text);
    assert_eq!(note(&year, "no dew point"), Some((30, line_of(10))));
    assert!((year.dew_point_k[20] - 275.75).abs() < 0.05);
}

#[test]
fn humidity_out_of_range_is_counted() {
    let text = edited(|rows| {
        "104".clone_into(&mut rows[5].humidity);
        "0".clone_into(&mut rows[6].humidity);
        "-3".clone_into(&mut rows[7].humidity);
    });
    let year = year(&text);
    assert_eq!(
        note(&year, "relative humidity above 100 %"),
        Some((1, line_of(5)))
    );
    assert_eq!(note(&year, "relative humidity is 0"), Some((1, line_of(6))));
    assert_eq!(
        note(&year, "relative humidity outside"),
        Some((1, line_of(7)))
    );
}

#[test]
fn infrared_0_and_9999_are_modelled() {
    for code in ["0", "9999"] {
        let text = edited_epw(|rows| {
            rows.iter_mut()
                .for_each(|row| row.longwave = code.to_owned())
        });
        let year = year(&text);
        assert_eq!(year.longwave_source, LongwaveSource::ModelledWithCloud);
        assert_eq!(note(&year, "longwave").map(|(count, _)| count), Some(8760));
    }
    let text = edited_epw(|rows| {
        for row in rows {
            "0".clone_into(&mut row.longwave);
            row.cover.clear();
        }
    });
    let year = year(&text);
    assert_eq!(year.longwave_source, LongwaveSource::ModelledWithoutCloud);
    assert!(year.cloud_cover.is_none());
    assert!(note(&year, "no cloud cover").is_some());
}

#[test]
fn longwave_missing_in_some_hours_is_modelled_there() {
    let text = edited_epw(|rows| {
        rows[100..110]
            .iter_mut()
            .for_each(|row| "0".clone_into(&mut row.longwave));
    });
    let year = year(&text);
    assert_eq!(year.longwave_source, LongwaveSource::File);
    assert!((year.sky_longwave_w_m2[90] - 280.0).abs() < 1e-9);
    assert!((year.sky_longwave_w_m2[105] - 280.0).abs() > 1.0);
}

#[test]
fn longwave_over_the_hour_is_moved_to_the_marks() {
    let text = edited_epw(|rows| {
        for row in rows {
            let from_warmest_h = f64::from(row.hour) - 0.5 - 15.0;
            let wave = (from_warmest_h * std::f64::consts::PI / 12.0).cos();
            row.longwave = format!("{:.3}", 280.0 + 20.0 * wave);
        }
    });
    let year = year(&text);
    assert_eq!(year.notes, []);
    // The mean of the hours before and after 15:00, each 20 cos(7.5 deg) above the middle.
    let expected = 280.0 + 20.0 * (std::f64::consts::PI / 24.0).cos();
    assert!((year.sky_longwave_w_m2[15] - expected).abs() < 0.001);
}

#[test]
fn albedo_0_and_snow_0_all_year_mean_no_data() {
    let text = edited_epw(|rows| {
        for row in rows {
            "0.000".clone_into(&mut row.albedo);
            "0".clone_into(&mut row.snow);
        }
    });
    let year = year(&text);
    assert!(year.ground_albedo.is_none() && year.snow_depth_m.is_none());
    assert_eq!(note(&year, "ground reflectance is 0"), Some((8760, 9)));
    assert_eq!(note(&year, "snow depth is 0 all year"), Some((8760, 9)));
    let real = self::year(&epw(&rows()));
    assert!(
        real.snow_depth_m
            .is_some_and(|depth| (depth[0] - 0.03).abs() < 1e-12)
    );
}

#[test]
fn last_values_of_epw_rows_may_be_absent() {
    let text: String = epw(&rows())
        .lines()
        .map(|line| line.split(',').take(29).collect::<Vec<_>>().join(",") + "\n")
        .collect();
    let year = year(&text);
    assert!(year.ground_albedo.is_none() && year.snow_depth_m.is_none());
}

#[test]
fn missing_pressure_comes_from_the_elevation() {
    let text = edited(|rows| {
        rows.iter_mut()
            .for_each(|row| "-9900".clone_into(&mut row.pressure))
    });
    let year = year(&text);
    // Standard atmosphere at 50 m: 100,725 Pa (ICAO, Manual of the Standard Atmosphere; computed
    // from the printed formula).
    assert!((year.pressure_pa[0] - 100_725.0).abs() < 5.0);
    assert!(note(&year, "no air pressure").is_some());
}

#[test]
fn pressure_that_contradicts_the_elevation_is_noted() {
    let text = edited(|rows| {
        rows.iter_mut()
            .for_each(|row| "830".clone_into(&mut row.pressure))
    });
    assert!(
        note(
            &year(&text),
            "830 hPa where the elevation asks for 1007 hPa"
        )
        .is_some()
    );
}

#[test]
fn zone_far_from_the_longitude_is_noted() {
    let text = tmy3(&rows()).replacen(",1.0,45.000,", ",-7.0,45.000,", 1);
    assert!(note(&year(&text), "time zone is 8.0 h").is_some());
}

#[test]
fn steps_and_spells_of_the_air_are_counted() {
    let text = edited(|rows| {
        "30.0".clone_into(&mut rows[500].air);
        rows[2000..2030]
            .iter_mut()
            .for_each(|row| "4.0".clone_into(&mut row.air));
    });
    let year = year(&text);
    assert_eq!(note(&year, "more than 15 K"), Some((2, line_of(500))));
    assert_eq!(note(&year, "without any change"), Some((30, line_of(2000))));
}

#[test]
fn implausible_sun_is_counted() {
    let text = edited(|rows| {
        "50".clone_into(&mut rows[at(1, 1, 2)].global);
        "900".clone_into(&mut rows[at(1, 2, 12)].global);
        "190".clone_into(&mut rows[at(1, 3, 12)].global);
        "250".clone_into(&mut rows[at(1, 3, 12)].diffuse);
        "-5".clone_into(&mut rows[at(1, 4, 2)].global);
    });
    let year = year(&text);
    assert_eq!(note(&year, "sun at night"), Some((1, line_of(at(1, 1, 2)))));
    assert_eq!(
        note(&year, "more sun than outside"),
        Some((1, line_of(at(1, 2, 12))))
    );
    assert_eq!(
        note(&year, "diffuse above global"),
        Some((1, line_of(at(1, 3, 12))))
    );
    assert_eq!(
        note(&year, "slightly negative"),
        Some((1, line_of(at(1, 4, 2))))
    );
    // The two-fold excess at noon, the surplus of 60 W/m2 of diffuse, and not the night's 50 W/m2.
    assert_eq!(
        note(&year, "differs from diffuse plus direct").map(|(count, _)| count),
        Some(2)
    );
}

#[test]
fn a_missing_component_comes_from_the_closure() {
    let whole = year(&edited(|rows| {
        rows.iter_mut()
            .for_each(|row| row.direct = if row.global == "0" { "0" } else { "300" }.into());
    }));
    let without = |strip: fn(&mut Row)| {
        year(&edited(|rows| {
            for row in rows {
                row.direct = if row.global == "0" { "0" } else { "300" }.to_owned();
                strip(row);
            }
        }))
    };
    let no_global = without(|row| "-9900".clone_into(&mut row.global));
    let no_diffuse = without(|row| "-9900".clone_into(&mut row.diffuse));
    assert!(note(&no_global, "no global radiation").is_some());
    assert!(note(&no_diffuse, "no diffuse radiation").is_some());
    let noon = at(6, 21, 12);
    let beam = no_global.global_horizontal_w_m2[noon] - whole.diffuse_horizontal_w_m2[noon];
    // Latitude 45, solar noon of 21 June: cos(45 - 23.44) = 0.930; half an hour off it 0.925.
    assert!((beam / 300.0 - 0.925).abs() < 0.005, "{beam}");
    let closed = no_diffuse.diffuse_horizontal_w_m2[noon] + beam;
    let global = no_diffuse.global_horizontal_w_m2[noon];
    assert!((closed - global).abs() < 1e-9 || closed >= global);
    let no_direct = without(|row| "-9900".clone_into(&mut row.direct));
    assert!(
        no_direct.direct_normal_w_m2[noon].abs() < 1e-9,
        "all the made-up sun is diffuse"
    );
}

#[test]
fn global_radiation_alone_is_split() {
    let text = edited(|rows| {
        for row in rows {
            "-9900".clone_into(&mut row.direct);
            "-9900".clone_into(&mut row.diffuse);
        }
    });
    let year = year(&text);
    assert!(note(&year, "global radiation only").is_some());
    super::made_up::assert_whole(&year);
    // 196 W/m2 at noon in June is a clearness below 0.22, where 1 - 0.09 k is diffuse (Erbs 1982).
    let noon = at(6, 21, 12);
    let share = year.diffuse_horizontal_w_m2[noon] / year.global_horizontal_w_m2[noon];
    assert!((0.98..1.0).contains(&share), "{share}");
}

#[test]
fn wind_direction_gaps_are_held_and_its_absence_is_north() {
    let text = edited(|rows| {
        rows[100..200]
            .iter_mut()
            .for_each(|row| row.wind_from.clear())
    });
    let held = year(&text);
    assert_eq!(
        note(&held, "wind direction filled"),
        Some((100, line_of(100)))
    );
    assert!((held.wind_from_deg[150] - 90.0).abs() < 1e-9);
    let text = edited(|rows| rows.iter_mut().for_each(|row| row.wind_from.clear()));
    assert!(note(&year(&text), "no wind direction").is_some());
}

// --- the clock ----------------------------------------------------------------------------------

/// The made-up year with all observations of some months early by two hours.
fn months_early_by_two(months: [u32; 2]) -> Year {
    let rows = rows();
    let moved: Vec<Row> = rows
        .iter()
        .map(|own| {
            if !months.contains(&own.month) {
                return own.clone();
            }
            let mut moved = row(own.month, own.day, (own.hour + 1) % 24 + 1);
            (moved.hour, moved.time) = (own.hour, own.time.clone());
            moved
        })
        .collect();
    year(&tmy3(&moved))
}

#[test]
fn months_off_the_clock_are_found_and_can_be_moved_back() {
    let shifted = months_early_by_two([3, 7]);
    let mut expected = [0; 12];
    (expected[2], expected[6]) = (2, 2);
    assert_eq!(clock_correction_h(&shifted), expected);
    assert!(shifted.notes.iter().any(
        |note| note.defect.starts_with("sun of March is 1.9 h early")
            || note.defect.starts_with("sun of March is 2.0 h early")
            || note.defect.starts_with("sun of March is 2.1 h early")
    ));
    let mended = with_clock_corrected(&shifted, &expected);
    let right = year(&tmy3(&rows()));
    let far = |mended: &[f64], right: &[f64]| {
        mended
            .iter()
            .zip(right)
            .filter(|(a, b)| (*a - *b).abs() > 1e-9)
            .count()
    };
    assert_eq!(
        far(
            &mended.global_horizontal_w_m2,
            &right.global_horizontal_w_m2
        ),
        0
    );
    // The first two marks of each moved month have no source and hold the first value.
    assert!(far(&mended.air_temp_k, &right.air_temp_k) <= 8);
    assert_eq!(clock_correction_h(&mended), [0; 12]);
    assert!(note(&mended, "months off the clock").is_some_and(|(count, _)| count == 2));
}

#[test]
fn dark_months_have_no_clock() {
    let text = edited(|rows| {
        for row in rows.iter_mut().filter(|row| row.month == 12) {
            "0".clone_into(&mut row.global);
            "0".clone_into(&mut row.diffuse);
        }
    });
    let offsets = clock_offset_h(&year(&text));
    assert!(offsets[11].is_none() && offsets[10].is_some());
}

// --- headings -----------------------------------------------------------------------------------

#[test]
fn bad_headings_are_named() {
    for (from, to, item) in [
        (",45.0,15.0,", ",95.0,15.0,", "latitude"),
        (",45.0,15.0,", ",45.0,east,", "longitude"),
        (",1.0,50.0", ",25,50.0", "time zone"),
        (",1.0,50.0", ",1.0,", "elevation"),
        ("DATA PERIODS,1,1", "DATA PERIODS,1,one", "records per hour"),
        ("DATA PERIODS", "DATES", "DATA PERIODS"),
    ] {
        match read(&epw(&rows()).replacen(from, to, 1)) {
            Err(WeatherError::BadHeading { item: found, .. }) => assert_eq!(found, item),
            other => panic!("{item}: {other:?}"),
        }
    }
    match read(EPW_HEADING) {
        Err(WeatherError::Truncated { rows: 0, .. }) => {}
        other => panic!("{other:?}"),
    }
}

#[test]
fn missing_columns_are_named() {
    for title in ["GHI (W/m^2)", "Dry-bulb (C)", "Time (HH:MM)"] {
        match read(&tmy3(&rows()).replacen(title, "something", 1)) {
            Err(WeatherError::MissingColumn { line: 2, .. }) => {}
            other => panic!("{title}: {other:?}"),
        }
    }
}

#[test]
fn unknown_content_is_named() {
    for text in [
        "",
        "\n\n",
        "hello",
        "{}",
        "{\"outputs\": 3}",
        "[1, 2]",
        "<html>",
    ] {
        let error = read(text).unwrap_err();
        assert!(error.to_string().starts_with("made-up: line"), "{error}");
    }
    let error = overwinter_weather::read_file(std::path::Path::new("no/such/file")).unwrap_err();
    assert!(matches!(error, WeatherError::Unreadable { .. }));
}
