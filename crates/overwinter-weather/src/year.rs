//! One year of weather on two time axes.
//!
//! Radiation belongs to an hour, air to an instant. [`Year`] keeps both apart: `over_hour[k]` is the
//! hour from `k` to `k + 1` after 1 January 00:00 local standard time, `at_instant[k]` is the
//! instant `k` hours after it. There are 8,760 hours and 8,761 instants; the last instant is the
//! end of 31 December.

/// Hours in a year without 29 February.
pub const HOURS: usize = 8760;
/// Hour marks from the start to the end of the year, both included.
pub const INSTANTS: usize = HOURS + 1;

/// Where a year was observed or modelled.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Station or place name as the file gives it.
    pub name: String,
    /// State, province or country as the file gives it; empty where it gives none.
    pub region: String,
    /// Latitude, north positive.
    pub latitude_deg: f64,
    /// Longitude, east positive.
    pub longitude_deg: f64,
    /// Local standard time minus UTC, east positive, may be fractional.
    pub time_zone_h: f64,
    /// Height above sea level.
    pub elevation_m: f64,
    /// The format the file was read as, in words (for reports).
    pub format: String,
}

/// Where the downward longwave radiation of a year comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LongwaveSource {
    /// Read from the file (which usually modelled it).
    File,
    /// Computed from dew point and cloud cover by a published sky model.
    ModelledWithCloud,
    /// Computed from dew point for a clear sky where the file has no cloud cover, with the cloud
    /// cover estimated from the radiation by day.
    ModelledWithoutCloud,
}

/// A defect found while reading, and what was done about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// What is wrong, in a few plain words.
    pub defect: String,
    /// How many rows (or values) show it.
    pub count: usize,
    /// Line number in the file of the first one, counted from 1; 0 where no line applies.
    pub first_line: usize,
    /// What the reader did: filled, dropped, kept and so on.
    pub action: String,
}

/// A year of hourly weather as a structure of arrays in SI units.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// Where it belongs.
    pub place: Place,
    /// Global horizontal irradiance, mean over each hour; length [`HOURS`].
    pub global_horizontal_w_m2: Vec<f64>,
    /// Direct normal irradiance, mean over each hour; length [`HOURS`].
    pub direct_normal_w_m2: Vec<f64>,
    /// Diffuse horizontal irradiance, mean over each hour; length [`HOURS`].
    pub diffuse_horizontal_w_m2: Vec<f64>,
    /// Where within its hour the radiation stands, in hours from the start of the hour: 0.5 for
    /// hourly means, another value for formats of instantaneous radiation (length 1 hour).
    pub radiation_instant_h: f64,
    /// Dry-bulb air temperature at each hour mark; length [`INSTANTS`].
    pub air_temp_k: Vec<f64>,
    /// Dew-point temperature at each hour mark, never above the air temperature; [`INSTANTS`].
    pub dew_point_k: Vec<f64>,
    /// Station (not sea-level) pressure at each hour mark; [`INSTANTS`].
    pub pressure_pa: Vec<f64>,
    /// Wind speed at 10 m above ground at each hour mark; [`INSTANTS`].
    pub wind_m_s: Vec<f64>,
    /// Direction the wind comes from, degrees clockwise from north, at each hour mark; [`INSTANTS`].
    pub wind_from_deg: Vec<f64>,
    /// Downward longwave irradiance on the horizontal at each hour mark; [`INSTANTS`].
    pub sky_longwave_w_m2: Vec<f64>,
    /// Where the longwave comes from.
    pub longwave_source: LongwaveSource,
    /// Opaque cloud cover, 0 to 1, at each hour mark; `None` where the file has none.
    pub cloud_cover: Option<Vec<f64>>,
    /// Snow depth over each hour; `None` where the file has no real snow data.
    pub snow_depth_m: Option<Vec<f64>>,
    /// Ground reflectance over each hour; `None` where the file has none.
    pub ground_albedo: Option<Vec<f64>>,
    /// The source year of each of the twelve months, where the file gives it.
    pub source_years: Option<[i32; 12]>,
    /// Defects found and what was done about each.
    pub notes: Vec<Note>,
}
