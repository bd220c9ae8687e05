//! Reading the place from the heading of a file.

use crate::error::{WeatherError, shortened};
use crate::year::Place;

/// Where in which file a heading item stands.
#[derive(Clone, Copy)]
pub(crate) struct HeadingLine<'a> {
    pub(crate) file: &'a str,
    pub(crate) line: usize,
}

/// A heading number and the range it must lie in.
struct HeadingNumber {
    item: &'static str,
    low: f64,
    high: f64,
    wanted: &'static str,
}

const LATITUDE: HeadingNumber = HeadingNumber {
    item: "latitude",
    low: -90.0,
    high: 90.0,
    wanted: "degrees from -90 to 90, north positive",
};
const LONGITUDE: HeadingNumber = HeadingNumber {
    item: "longitude",
    low: -180.0,
    high: 180.0,
    wanted: "degrees from -180 to 180, east positive",
};
const TIME_ZONE: HeadingNumber = HeadingNumber {
    item: "time zone",
    low: -12.0,
    high: 14.0,
    wanted: "hours from UTC, -12 to 14, east positive",
};
const ELEVATION: HeadingNumber = HeadingNumber {
    item: "elevation",
    low: -450.0,
    high: 6000.0,
    wanted: "metres above the sea, -450 to 6000",
};

impl HeadingLine<'_> {
    fn number(&self, text: &str, number: &HeadingNumber) -> Result<f64, WeatherError> {
        let value = text.trim().parse::<f64>().ok();
        value
            .filter(|value| (number.low..=number.high).contains(value))
            .ok_or_else(|| self.bad(number.item, text, number.wanted))
    }

    /// The error for a heading item that cannot be used.
    pub(crate) fn bad(
        &self,
        item: &'static str,
        value: &str,
        wanted: &'static str,
    ) -> WeatherError {
        WeatherError::BadHeading {
            file: self.file.to_owned(),
            line: self.line,
            item,
            value: shortened(value),
            wanted,
        }
    }

    pub(crate) fn latitude_deg(&self, text: &str) -> Result<f64, WeatherError> {
        self.number(text, &LATITUDE)
    }

    pub(crate) fn longitude_deg(&self, text: &str) -> Result<f64, WeatherError> {
        self.number(text, &LONGITUDE)
    }

    pub(crate) fn time_zone_h(&self, text: &str) -> Result<f64, WeatherError> {
        self.number(text, &TIME_ZONE)
    }

    pub(crate) fn elevation_m(&self, text: &str) -> Result<f64, WeatherError> {
        self.number(text, &ELEVATION)
    }
}

/// The whole-hour zone of a longitude, for files that keep UTC and name no zone.
pub(crate) fn zone_of_longitude_h(longitude_deg: f64) -> f64 {
    (longitude_deg / 15.0).round()
}

/// A name for a place that has none: its co-ordinates.
pub(crate) fn name_of_position(latitude_deg: f64, longitude_deg: f64) -> String {
    let north = if latitude_deg < 0.0 { 'S' } else { 'N' };
    let east = if longitude_deg < 0.0 { 'W' } else { 'E' };
    format!(
        "{:.2} {north} {:.2} {east}",
        latitude_deg.abs(),
        longitude_deg.abs()
    )
}

/// A place from a latitude and longitude alone.
pub(crate) fn place_at(
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
    format: &str,
) -> Place {
    Place {
        name: name_of_position(latitude_deg, longitude_deg),
        region: String::new(),
        latitude_deg,
        longitude_deg,
        time_zone_h: zone_of_longitude_h(longitude_deg),
        elevation_m,
        format: format.to_owned(),
    }
}
