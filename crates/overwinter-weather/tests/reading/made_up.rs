//! A small made-up year in the TMY3 and EPW layouts, to be spoilt by one defect at a time.

use overwinter_weather::Year;
use overwinter_weather::year::{HOURS, INSTANTS};
use std::fmt::Write;

pub(crate) const DAYS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// One row; text so that a test can write anything into it.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub(crate) month: u32,
    pub(crate) day: u32,
    /// 1 to 24.
    pub(crate) hour: u32,
    pub(crate) date: String,
    pub(crate) time: String,
    pub(crate) global: String,
    pub(crate) direct: String,
    pub(crate) diffuse: String,
    pub(crate) air: String,
    pub(crate) dew: String,
    pub(crate) humidity: String,
    pub(crate) pressure: String,
    pub(crate) wind: String,
    pub(crate) wind_from: String,
    pub(crate) cover: String,
    pub(crate) albedo: String,
    pub(crate) longwave: String,
    pub(crate) snow: String,
}

/// A calm, bright year without a defect: eight hours of diffuse sun around noon, a daily swing of
/// the air of 5 K around 5 C, a dew point of -6 C.
pub(crate) fn rows() -> Vec<Row> {
    let mut rows = Vec::with_capacity(HOURS);
    for (month, days) in (1..).zip(DAYS) {
        for day in 1..=days {
            for hour in 1..=24_u32 {
                rows.push(row(month, day, hour));
            }
        }
    }
    rows
}

pub(crate) fn row(month: u32, day: u32, hour: u32) -> Row {
    let from_noon_h = f64::from(hour) - 0.5 - 12.0;
    let sun = if from_noon_h.abs() < 4.0 {
        (200.0 * (from_noon_h * std::f64::consts::PI / 8.0).cos()).round()
    } else {
        0.0
    };
    let air = 5.0 + 5.0 * ((f64::from(hour) - 15.0) * std::f64::consts::PI / 12.0).cos();
    Row {
        month,
        day,
        hour,
        date: format!("{month:02}/{day:02}/1999"),
        time: format!("{hour:02}:00"),
        global: format!("{sun}"),
        direct: "0".to_owned(),
        diffuse: format!("{sun}"),
        air: format!("{air:.1}"),
        dew: "-6.0".to_owned(),
        humidity: "60".to_owned(),
        pressure: "1013".to_owned(),
        wind: "2.0".to_owned(),
        wind_from: "90".to_owned(),
        cover: "5".to_owned(),
        albedo: "0.2".to_owned(),
        longwave: "280".to_owned(),
        snow: "3".to_owned(),
    }
}

/// Index of a row by month, day and hour 1 to 24.
pub(crate) fn at(month: u32, day: u32, hour: u32) -> usize {
    let days: u32 = DAYS[..month as usize - 1].iter().sum::<u32>() + day - 1;
    (24 * days + hour - 1) as usize
}

pub(crate) const TMY3_TITLES: &str = "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),\
     DHI (W/m^2),OpqCld (tenths),Dry-bulb (C),Dew-point (C),RHum (%),Pressure (mbar),\
     Wdir (degrees),Wspd (m/s),Alb (unitless)";

/// The TMY3 text of rows; the first row is line 3.
pub(crate) fn tmy3(rows: &[Row]) -> String {
    let mut text = format!("999999,\"TEST FIELD\",XX,1.0,45.000,15.000,50\n{TMY3_TITLES}\n");
    for row in rows {
        let Row {
            date,
            time,
            global,
            direct,
            diffuse,
            cover,
            air,
            dew,
            humidity,
            ..
        } = row;
        let Row {
            pressure,
            wind_from,
            wind,
            albedo,
            ..
        } = row;
        writeln!(
            text,
            "{date},{time},{global},{direct},{diffuse},{cover},{air},{dew},{humidity},{pressure},\
             {wind_from},{wind},{albedo}"
        )
        .unwrap();
    }
    text
}

pub(crate) const EPW_HEADING: &str = "LOCATION,Test Field,-,XXX,made up,999999,45.0,15.0,1.0,50.0\n\
     DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\n\
     HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,none\nCOMMENTS 2,none\n\
     DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n";

/// The EPW text of rows; the first row is line 9.
pub(crate) fn epw(rows: &[Row]) -> String {
    let mut text = EPW_HEADING.to_owned();
    for row in rows {
        let Row {
            month,
            day,
            hour,
            global,
            direct,
            diffuse,
            cover,
            air,
            dew,
            humidity,
            ..
        } = row;
        let Row {
            pressure,
            wind_from,
            wind,
            albedo,
            longwave,
            snow,
            ..
        } = row;
        writeln!(
            text,
            "1999,{month},{day},{hour},60,A_?*,{air},{dew},{humidity},{pressure}00,9999,9999,\
             {longwave},{global},{direct},{diffuse},999999,999999,999999,9999,{wind_from},{wind},\
             {cover},{cover},9999,99999,9,999999999,999,.999,{snow},99,{albedo},999,99"
        )
        .unwrap();
    }
    text
}

pub(crate) fn read(text: &str) -> Result<Year, overwinter_weather::WeatherError> {
    overwinter_weather::read_bytes(text.as_bytes(), "made-up")
}

/// Reads and expects success.
pub(crate) fn year(text: &str) -> Year {
    read(text).unwrap_or_else(|error| panic!("{error}"))
}

/// Count and first line of the first note whose defect contains some words.
pub(crate) fn note(year: &Year, words: &str) -> Option<(usize, usize)> {
    let note = year.notes.iter().find(|note| note.defect.contains(words))?;
    Some((note.count, note.first_line))
}

/// Lengths, finiteness, ranges.
pub(crate) fn assert_whole(year: &Year) {
    let over_hours = [
        &year.global_horizontal_w_m2,
        &year.direct_normal_w_m2,
        &year.diffuse_horizontal_w_m2,
    ];
    for values in over_hours {
        assert_eq!(values.len(), HOURS);
        assert!(values.iter().all(|value| (0.0..=1700.0).contains(value)));
    }
    let at_instants = [
        (&year.air_temp_k, 180.0, 340.0),
        (&year.dew_point_k, 170.0, 320.0),
        (&year.pressure_pa, 45_000.0, 110_000.0),
        (&year.wind_m_s, 0.0, 90.0),
        (&year.wind_from_deg, 0.0, 360.0),
        (&year.sky_longwave_w_m2, 30.0, 700.0),
    ];
    for (values, low, high) in at_instants {
        assert_eq!(values.len(), INSTANTS);
        assert!(values.iter().all(|value| (low..=high).contains(value)));
    }
    for (dew_k, air_k) in year.dew_point_k.iter().zip(&year.air_temp_k) {
        assert!(dew_k <= air_k);
    }
    for values in [&year.snow_depth_m, &year.ground_albedo]
        .into_iter()
        .flatten()
    {
        assert_eq!(values.len(), HOURS);
        assert!(values.iter().all(|value| (0.0..=15.0).contains(value)));
    }
    if let Some(cover) = &year.cloud_cover {
        assert_eq!(cover.len(), INSTANTS);
        assert!(cover.iter().all(|value| (0.0..=1.0).contains(value)));
    }
}
