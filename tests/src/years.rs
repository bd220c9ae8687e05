//! Years to step houses through: the shipped files, and made-up ones with known courses.

use std::f64::consts::TAU;
use std::path::PathBuf;

use overwinter_weather::year::{HOURS, INSTANTS};
use overwinter_weather::{LongwaveSource, Place, WeatherError, Year, read_file};

/// Cold, with a real winter: Chicago O'Hare.
pub const COLD: &str = "725300-chicago-ohare-il-tmy3.epw";
/// The coldest year that ships: Northway, Alaska.
pub const COLDEST: &str = "702910-northway-ak-tmy3.epw";
/// Mild: Greensboro, North Carolina.
pub const MILD: &str = "723170-greensboro-nc-tmy3.csv";
/// High, dry and sunny: Denver International.
pub const SUNNY: &str = "725650-denver-intl-co-tmy3.epw";

/// Path of a shipped weather file.
pub fn shipped_path(file: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../weather")
        .join(file)
}

/// A shipped year.
///
/// # Errors
/// [`WeatherError`] if the file is missing or does not read.
pub fn shipped(file: &str) -> Result<Year, WeatherError> {
    read_file(&shipped_path(file))
}

/// Outdoors that stands still: air, dew point, wind at 10 m, sky longwave.
#[derive(Clone, Copy, Debug)]
pub struct Still {
    /// Outdoor air.
    pub air_k: f64,
    /// Dew point.
    pub dew_point_k: f64,
    /// Wind at 10 m.
    pub wind_m_s: f64,
    /// Downward longwave on the horizontal.
    pub sky_longwave_w_m2: f64,
}

impl Still {
    /// A clear, windy, dry cold night without end.
    pub const COLD_NIGHT: Self = Self {
        air_k: 263.15,
        dew_point_k: 258.15,
        wind_m_s: 3.0,
        sky_longwave_w_m2: 200.0,
    };

    /// The year of it, without sun.
    pub fn year(self) -> Year {
        dark_year(
            |_| self.air_k,
            self.dew_point_k,
            self.wind_m_s,
            self.sky_longwave_w_m2,
        )
    }
}

/// A year without sun whose air temperature swings once a day by a sine around `mean_k`; the rest
/// stands still.
pub fn swinging_year(mean_k: f64, half_swing_k: f64, still: Still) -> Year {
    dark_year(
        |instant| mean_k + half_swing_k * (TAU * instant as f64 / 24.0).sin(),
        still.dew_point_k,
        still.wind_m_s,
        still.sky_longwave_w_m2,
    )
}

/// A year without sun, with an air temperature for each hour mark.
pub fn dark_year(
    air_k: impl Fn(usize) -> f64,
    dew_point_k: f64,
    wind_m_s: f64,
    sky_longwave_w_m2: f64,
) -> Year {
    Year {
        place: Place {
            name: "nowhere".to_owned(),
            region: String::new(),
            latitude_deg: 45.0,
            longitude_deg: 0.0,
            time_zone_h: 0.0,
            elevation_m: 0.0,
            format: "made up".to_owned(),
        },
        global_horizontal_w_m2: vec![0.0; HOURS],
        direct_normal_w_m2: vec![0.0; HOURS],
        diffuse_horizontal_w_m2: vec![0.0; HOURS],
        radiation_instant_h: 0.5,
        air_temp_k: (0..INSTANTS).map(air_k).collect(),
        dew_point_k: vec![dew_point_k; INSTANTS],
        pressure_pa: vec![101_325.0; INSTANTS],
        wind_m_s: vec![wind_m_s; INSTANTS],
        wind_from_deg: vec![0.0; INSTANTS],
        sky_longwave_w_m2: vec![sky_longwave_w_m2; INSTANTS],
        longwave_source: LongwaveSource::File,
        cloud_cover: None,
        snow_depth_m: None,
        ground_albedo: None,
        source_years: None,
        notes: Vec::new(),
    }
}
