//! Made-up years in the formats of which no real file is shipped, and the plain table.

use super::made_up::{Row, assert_whole, epw, note, read, rows, tmy3, year};
use super::shipped::{FILES, path};
use overwinter_weather::{
    GivenPlace, LongwaveSource, ReadOptions, WeatherError, clock_offset_h, plain_table, read_bytes,
    read_bytes_with, read_file,
};
use std::fmt::Write;

fn number(text: &str) -> f64 {
    text.parse().unwrap()
}

// --- TMY2 ---------------------------------------------------------------------------------------

/// The fixed-width text of rows, positions counted by hand from the manual's table.
fn tmy2(rows: &[Row]) -> String {
    let mut text = " 99999 TEST FIELD             XX   1 N 45 30 E  15 15    50\n".to_owned();
    for row in rows {
        let tenths = |text: &str| (10.0 * number(text)).round() as i32;
        let mut line = vec![b' '; 142];
        let mut put = |from: usize, text: String| {
            line[from - 1..from - 1 + text.len()].copy_from_slice(text.as_bytes())
        };
        put(
            2,
            format!("85{:02}{:02}{:02}", row.month, row.day, row.hour),
        );
        put(10, "9999".to_owned());
        put(14, "0000".to_owned());
        put(18, format!("{:04}?0", number(&row.global)));
        put(24, format!("{:04}?0", number(&row.direct)));
        put(30, format!("{:04}?0", number(&row.diffuse)));
        put(60, "05A705A7".to_owned());
        put(68, format!("{:04}A7", tenths(&row.air)));
        put(74, format!("{:04}A7", tenths(&row.dew)));
        put(80, format!("{:03}A7", number(&row.humidity)));
        put(85, format!("{:04}A7", number(&row.pressure)));
        put(91, format!("{:03}A7", number(&row.wind_from)));
        put(96, format!("{:03}A7", tenths(&row.wind)));
        put(134, format!("{:03}A7", number(&row.snow)));
        text.push_str(&String::from_utf8(line).unwrap());
        text.push('\n');
    }
    text
}

#[test]
fn tmy2_has_tenths_minutes_of_arc_and_two_digit_years() {
    let got = year(&tmy2(&rows()));
    let expected = year(&tmy3(&rows()));
    assert_whole(&got);
    assert!((got.place.latitude_deg - 45.5).abs() < 1e-9);
    assert!((got.place.longitude_deg - 15.25).abs() < 1e-9);
    assert_eq!(got.source_years, Some([1985; 12]));
    assert!((got.wind_m_s[10] - 2.0).abs() < 1e-9, "wind is in tenths");
    assert!(
        got.snow_depth_m
            .is_some_and(|depth| (depth[7] - 0.03).abs() < 1e-12)
    );
    for (got, expected) in got.air_temp_k.iter().zip(&expected.air_temp_k) {
        assert!((got - expected).abs() < 1e-9);
    }
    assert_eq!(got.global_horizontal_w_m2, expected.global_horizontal_w_m2);
}

#[test]
fn tmy2_nines_are_missing_and_short_rows_are_named() {
    let whole = tmy2(&rows());
    let spoilt: String = whole
        .lines()
        .enumerate()
        .map(|(index, line)| match index {
            11 => format!("{}9999{}\n", &line[..67], &line[71..]),
            _ => format!("{line}\n"),
        })
        .collect();
    assert_eq!(
        note(&year(&spoilt), "air temperature missing"),
        Some((1, 12))
    );
    let cut: String = whole
        .lines()
        .enumerate()
        .map(|(index, line)| {
            if index == 99 {
                format!("{}\n", &line[..60])
            } else {
                format!("{line}\n")
            }
        })
        .collect();
    match read(&cut) {
        Err(WeatherError::ShortRow {
            line: 100,
            found: 60,
            ..
        }) => {}
        other => panic!("{other:?}"),
    }
}

// --- NSRDB --------------------------------------------------------------------------------------

const TITLES: &str = "Year,Month,Day,Hour,Minute,Temperature,Dew Point,GHI,DNI,DHI,Surface Albedo,\
     Pressure,Wind Direction,Wind Speed,Relative Humidity";

fn nsrdb(rows: &[Row], heading: &str, titles: &str, minute: Option<u32>) -> String {
    let mut text = format!("{heading}{titles}\n");
    for row in rows {
        let minute = minute.map_or(String::new(), |minute| format!("{minute},"));
        let Row {
            month,
            day,
            hour,
            air,
            dew,
            global,
            direct,
            diffuse,
            albedo,
            ..
        } = row;
        let Row {
            pressure,
            wind_from,
            wind,
            humidity,
            ..
        } = row;
        writeln!(
            text,
            "1999,{month},{day},{},{minute}{air},{dew},{global},{direct},{diffuse},{albedo},{pressure},\
             {wind_from},{wind},{humidity},",
            hour - 1
        )
        .unwrap();
    }
    text
}

fn heading(time_zone: &str, local_time_zone: &str) -> String {
    format!(
        "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time Zone,Units\n\
         NSRDB,123456,-,-,-,45.0,15.0,{time_zone},50,{local_time_zone},w/m2\n"
    )
}

#[test]
fn nsrdb_air_at_half_hours_is_brought_to_the_marks() {
    let got = year(&nsrdb(&rows(), &heading("1", "1"), TITLES, Some(30)));
    assert_whole(&got);
    let celsius = |index: usize| number(&rows()[index].air);
    let expected = 0.5 * (celsius(9) + celsius(10)) + 273.15;
    assert!((got.air_temp_k[10] - expected).abs() < 1e-9);
    assert_eq!(
        got.global_horizontal_w_m2,
        year(&tmy3(&rows())).global_horizontal_w_m2
    );
    assert_eq!(got.longwave_source, LongwaveSource::ModelledWithoutCloud);
    assert!(note(&got, "no cloud cover").is_some());
}

#[test]
fn nsrdb_stamps_in_utc_are_rotated() {
    // The same observations on the UTC clock: row k of the local year is row k - 1 of the UTC year.
    let mut utc = rows();
    let labels: Vec<(u32, u32, u32)> = utc
        .iter()
        .map(|row| (row.month, row.day, row.hour))
        .collect();
    utc.rotate_left(1);
    for (row, (month, day, hour)) in utc.iter_mut().zip(labels) {
        (row.month, row.day, row.hour) = (month, day, hour);
    }
    let got = year(&nsrdb(&utc, &heading("0", "1"), TITLES, Some(30)));
    let local = year(&nsrdb(&rows(), &heading("1", "1"), TITLES, Some(30)));
    assert_eq!(got.air_temp_k, local.air_temp_k);
    assert_eq!(got.global_horizontal_w_m2, local.global_horizontal_w_m2);
    assert!((got.place.time_zone_h - 1.0).abs() < 1e-12);
    assert!(note(&got, "not in local standard time").is_some());
}

#[test]
fn nsrdb_without_minutes_has_air_at_the_end_of_the_hour() {
    let titles = "Year,Month,Day,Hour,Tdry,Tdew,GHI,DNI,DHI,Albedo,Pres,Wdir,Wspd,RH";
    let got = year(&nsrdb(&rows(), &heading("1", "1"), titles, None));
    assert_eq!(got.air_temp_k, year(&tmy3(&rows())).air_temp_k);
}

#[test]
fn nsrdb_leap_rows_are_dropped() {
    let mut with_leap_day = rows();
    let leap_day: Vec<Row> = (1..=24)
        .map(|hour| super::made_up::row(2, 29, hour))
        .collect();
    let at = super::made_up::at(3, 1, 1);
    with_leap_day.splice(at..at, leap_day);
    let got = year(&nsrdb(&with_leap_day, &heading("1", "1"), TITLES, Some(30)));
    assert_eq!(note(&got, "29 February").map(|(count, _)| count), Some(24));
}

#[test]
fn nsrdb_without_a_place_is_refused_unless_it_is_given() {
    let bare = nsrdb(&rows(), "", TITLES, Some(30));
    match read(&bare) {
        Err(WeatherError::NoPlace { line: 1, .. }) => {}
        other => panic!("{other:?}"),
    }
    let place = GivenPlace {
        name: "Test Field".to_owned(),
        latitude_deg: 45.0,
        longitude_deg: 15.0,
        elevation_m: 50.0,
    };
    let options = ReadOptions {
        place: Some(place.clone()),
        time_zone_h: None,
    };
    let got = read_bytes_with(bare.as_bytes(), "made-up", &options).unwrap();
    assert!((got.place.time_zone_h - 1.0).abs() < 1e-12);
    let nowhere = GivenPlace {
        latitude_deg: f64::NAN,
        ..place
    };
    let options = ReadOptions {
        place: Some(nowhere),
        time_zone_h: Some(1.0),
    };
    let error = read_bytes_with(bare.as_bytes(), "made-up", &options).unwrap_err();
    assert!(matches!(
        error,
        WeatherError::BadHeading {
            item: "latitude",
            ..
        }
    ));
}

#[test]
fn nsrdb_with_radiation_alone_is_refused_by_its_missing_column() {
    let text = nsrdb(
        &rows(),
        &heading("1", "1"),
        &TITLES.replace("Temperature", "Ozone"),
        Some(30),
    );
    match read(&text) {
        Err(WeatherError::MissingColumn {
            column: "air temperature",
            line: 3,
            ..
        }) => {}
        other => panic!("{other:?}"),
    }
}

// --- PVGIS in the EPW layout --------------------------------------------------------------------

/// The shipped PVGIS year written in the EPW layout as that service does: UTC rows labelled from
/// hour 1, zone always 1, the radiation offset less one hour in a comment.
#[test]
fn epw_written_by_pvgis_is_read_on_its_own_clock() {
    let csv = std::fs::read_to_string(path(FILES[7])).unwrap();
    let mut text = super::made_up::EPW_HEADING
        .replace("45.0,15.0,1.0,50.0", "45.0,8.0,1,250")
        .replace(
            "COMMENTS 2,none",
            "COMMENTS 2,Irradiance Time Offset (h):-0.8239",
        );
    for line in csv
        .lines()
        .filter(|line| line.starts_with("20") && line.contains(':'))
    {
        let cells: Vec<&str> = line.split(',').collect();
        let stamp = cells[0];
        let hour: u32 = stamp[9..11].parse().unwrap();
        let (year, month, day) = (&stamp[..4], number(&stamp[4..6]), number(&stamp[6..8]));
        writeln!(
            text,
            "{year},{month},{day},{},0,?,{},99.9,{},{},9999,9999,{},{},{},{},999999,999999,999999,9999,\
             {},{},99,99,9999,99999,9,999999999,999,0.999,999,99,999,999,99",
            hour + 1, cells[1], cells[2], cells[9], cells[6], cells[3], cells[4], cells[5], cells[8], cells[7],
        )
        .unwrap();
    }
    let (got, expected) = (year(&text), read_file(&path(FILES[7])).unwrap());
    assert!((got.radiation_instant_h - expected.radiation_instant_h).abs() < 1e-9);
    assert_eq!(got.air_temp_k, expected.air_temp_k);
    assert_eq!(got.global_horizontal_w_m2, expected.global_horizontal_w_m2);
    assert_eq!(got.sky_longwave_w_m2, expected.sky_longwave_w_m2);
    assert!(note(&got, "rows in UTC").is_some());
}

#[test]
fn pvgis_time_zone_can_be_given_and_may_be_fractional() {
    let bytes = std::fs::read(path(FILES[7])).unwrap();
    let options = ReadOptions {
        time_zone_h: Some(5.5),
        place: None,
    };
    let got = read_bytes_with(&bytes, "pvgis", &options).unwrap();
    let utc_plus_1 = read_bytes(&bytes, "pvgis").unwrap();
    assert_whole(&got);
    // 4.5 h later by the clock: half way between two rows, and the sun at 0.1761 + 0.5 of the hour.
    let expected = 0.5 * (utc_plus_1.air_temp_k[100] + utc_plus_1.air_temp_k[101]);
    assert!((got.air_temp_k[105] - expected).abs() < 1e-9);
    assert!((got.radiation_instant_h - 0.6761).abs() < 1e-9);
    let offsets = clock_offset_h(&got);
    assert!(offsets.iter().flatten().all(|offset| offset.abs() < 0.3));
}

#[test]
fn pvgis_without_an_offset_line_has_it_measured() {
    let text = std::fs::read_to_string(path(FILES[7])).unwrap();
    let without: String = text
        .lines()
        .filter(|line| !line.starts_with("Irradiance"))
        .map(|line| format!("{line}\r\n"))
        .collect();
    let got = year(&without);
    assert!(note(&got, "no irradiance time offset").is_some());
    // The line that was taken out says 0.1761 h.
    assert!(
        (got.radiation_instant_h - 0.1761).abs() < 0.03,
        "{}",
        got.radiation_instant_h
    );
}

#[test]
fn cut_pvgis_json_is_named() {
    let text = std::fs::read_to_string(path(FILES[8])).unwrap();
    match read(&text[..text.len() / 2]) {
        Err(WeatherError::BadJson { line: 1, .. }) => {}
        other => panic!("{other:?}"),
    }
    let spoilt = text.replacen("\"T2m\": 1.98", "\"T2m\": \"cold\"", 1);
    match read(&spoilt) {
        Err(WeatherError::BadNumber { column, .. }) => assert_eq!(column, "tmy_hourly[1].T2m"),
        other => panic!("{other:?}"),
    }
}

// --- German test reference years ----------------------------------------------------------------

/// A made-up test reference year of the 2010 edition; `sun` gives the diffuse radiation of a row.
fn german(origin: u32, sun: impl Fn(&Row) -> f64) -> String {
    let mut text = "TRY99 Testfeld\r\nStation: Testfeld         WMO-Nummer: 99999\r\n\
                    Lage: 45\u{b0}00'N <- B.   15\u{b0}00'O <- L.   50 Meter \u{fc}ber NN\r\n\r\n\
                    RG IS MM DD HH N WR WG t p x RF W B D IK A E IL\r\n*** \r\n"
        .to_owned();
    for row in rows() {
        let Row {
            month,
            day,
            hour,
            air,
            wind,
            wind_from,
            pressure,
            humidity,
            longwave,
            ..
        } = &row;
        writeln!(
            text,
            "99 1 {month} {day} {hour} 4 {wind_from} {wind} {air} {pressure}.0 3.0 {humidity} -1 0 {:.0} \
             {origin} {longwave} -300 9\r",
            sun(&row)
        )
        .unwrap();
    }
    text
}

#[test]
fn german_radiation_is_brought_from_true_solar_time_to_the_clock() {
    // The made-up sun is centred on 12:00 of the rows' own clock, here true solar time.
    let got = year(&german(1, |row| number(&row.global)));
    assert_whole(&got);
    assert_eq!(got.place.name, "Testfeld");
    assert!((got.place.latitude_deg - 45.0).abs() < 1e-9);
    assert!(note(&got, "true solar time").is_some());
    assert!(
        clock_offset_h(&got)
            .iter()
            .flatten()
            .all(|offset| offset.abs() < 0.05)
    );
    let sum = |values: &[f64]| values.iter().sum::<f64>();
    let written: f64 = rows().iter().map(|row| number(&row.global)).sum();
    assert!((sum(&got.global_horizontal_w_m2) / written - 1.0).abs() < 1e-3);
    // Read as hour-ending standard time the same rows are off by the equation of time.
    let naive = clock_offset_h(&year(&tmy3(&rows())));
    assert!(naive.iter().flatten().any(|offset| offset.abs() > 0.2));
    assert!((got.cloud_cover.as_ref().unwrap()[100] - 0.5).abs() < 1e-12);
}

#[test]
fn german_computed_radiation_stands_at_the_stamp() {
    let equation_free = |row: &Row| {
        let from_noon_h = f64::from(row.hour) - 12.0;
        let sun = (200.0 * (from_noon_h * std::f64::consts::PI / 8.0).cos()).round();
        if from_noon_h.abs() < 4.0 { sun } else { 0.0 }
    };
    let got = year(&german(9, equation_free));
    assert!(note(&got, "computed for the stamp").is_some());
    assert!(got.radiation_instant_h.abs() < 1e-9);
    // What is left is the equation of time, at most 0.28 h.
    assert!(
        clock_offset_h(&got)
            .iter()
            .flatten()
            .all(|offset| offset.abs() < 0.29)
    );
    assert!(
        (got.global_horizontal_w_m2[12] - 200.0).abs() < 1e-9,
        "noon stands at 12:00"
    );
}

#[test]
fn german_2015_edition_is_refused_by_name() {
    let text = german(1, |row| number(&row.global)).replace("D IK A", "D A");
    match read(&text) {
        Err(WeatherError::RefusedFormat {
            line: 6, format, ..
        }) => assert!(format.contains("2015")),
        other => panic!("{other:?}"),
    }
}

// --- refused before any format ------------------------------------------------------------------

#[test]
fn packed_files_and_other_separators_are_refused_with_a_remedy() {
    let semicolons = tmy3(&rows()).replace(',', ";");
    let record = "2010 01 01 00   -33   -67 10177   280    26     4 -9999 -9999\n".to_owned();
    let cases: [(&[u8], &str); 4] = [
        (b"PK\x03\x04rest", "zip"),
        (b"\xff\xfeL\0O\0", "UTF-16"),
        (semicolons.as_bytes(), "semicolons"),
        (record.as_bytes(), "ISD-Lite"),
    ];
    for (bytes, words) in cases {
        match read_bytes(bytes, "made-up") {
            Err(WeatherError::RefusedFormat { format, .. }) => assert!(format.contains(words)),
            other => panic!("{words}: {other:?}"),
        }
    }
}

// --- the plain table ----------------------------------------------------------------------------

#[test]
fn plain_table_reads_back_to_the_same_year() {
    let epw = year(&epw(&rows()));
    let back = year(&plain_table(&epw));
    let near = |a: &[f64], b: &[f64], tolerance: f64| {
        assert_eq!(a.len(), b.len());
        assert!(a.iter().zip(b).all(|(a, b)| (a - b).abs() <= tolerance));
    };
    near(&back.air_temp_k, &epw.air_temp_k, 0.005_001);
    near(&back.dew_point_k, &epw.dew_point_k, 0.005_001);
    near(&back.pressure_pa, &epw.pressure_pa, 0.51);
    near(
        &back.global_horizontal_w_m2,
        &epw.global_horizontal_w_m2,
        0.050_001,
    );
    near(&back.sky_longwave_w_m2, &epw.sky_longwave_w_m2, 0.050_001);
    near(
        back.snow_depth_m.as_ref().unwrap(),
        epw.snow_depth_m.as_ref().unwrap(),
        1e-5,
    );
    assert_eq!(back.place.name, "Test Field");
    assert_eq!(back.notes, []);
}

/// The smallest plain table: what the format asks for and nothing else.
#[test]
fn smallest_plain_table() {
    let mut text = "# weather: plain hourly table\n# place: Hill Farm\n# latitude_deg: 45.0\n\
                    # longitude_deg: 15.0\n# time_zone_h: 1\n# elevation_m: 250\n# kept by hand\n\
                    month,day,hour,air_temp_c,dew_point_c,wind_m_s,global_horizontal_w_m2\n"
        .to_owned();
    for row in rows() {
        let Row {
            month,
            day,
            hour,
            air,
            dew,
            wind,
            global,
            ..
        } = row;
        writeln!(
            text,
            "{month},{day},{},{air},{dew},{wind},{global}",
            hour - 1
        )
        .unwrap();
    }
    let got = year(&text);
    assert_whole(&got);
    assert_eq!(got.place.name, "Hill Farm");
    // Air stands at the start of the hour, 0.2 C at 00:00 for the row that other layouts call 01:00.
    assert!((got.air_temp_k[0] - number(&rows()[0].air) - 273.15).abs() < 1e-9);
    assert!((got.radiation_instant_h - 0.5).abs() < 1e-12);
    match read(&text.replace("wind_m_s", "wind_mph")) {
        Err(WeatherError::BadHeading { value, line: 8, .. }) => assert_eq!(value, "wind_mph"),
        other => panic!("{other:?}"),
    }
    match read(&text.replace("# elevation_m: 250\n", "")) {
        Err(WeatherError::BadHeading {
            item: "elevation_m",
            ..
        }) => {}
        other => panic!("{other:?}"),
    }
}
