//! The worked examples of the reference evapotranspiration: two daily ones and two hours.

use overwinter_physics::evapotranspiration::*;
use overwinter_units::constants::ZERO_CELSIUS_K;

/// W/m2 to MJ/m2 a day.
pub(crate) const MJ_DAY: f64 = 0.0864;
/// W/m2 to MJ/m2 an hour.
const MJ_HOUR: f64 = 0.0036;

/// Ours, as printed, and one unit of the last printed digit.
pub(crate) type Term = [f64; 3];

/// A worked example: water used, ours and printed, and the terms that lead there.
pub(crate) struct Example {
    pub(crate) water: [f64; 2],
    pub(crate) terms: Vec<Term>,
}

pub(crate) fn kelvin(celsius: f64) -> f64 {
    celsius + ZERO_CELSIUS_K
}

/// A day's air and sun, as both daily examples state it.
struct DayAir {
    latitude_deg: f64,
    day_of_year: f64,
    elevation_m: f64,
    high_low_c: [f64; 2],
    vapour_pa: f64,
    wind_2m_m_s: f64,
    sunshine_h: f64,
    ground_mj: f64,
}

/// What the method makes of it.
struct DayTerms {
    weather: ReferenceWeather,
    above_mj: f64,
    daylight_h: f64,
    shortwave_mj: f64,
    clear_mj: f64,
    longwave_mj: f64,
    water: ReferenceEvapotranspiration,
}

fn of_day(air: &DayAir) -> DayTerms {
    let temps_k = air.high_low_c.map(kelvin);
    let saturated = temps_k.map(saturation_pressure_fao56);
    let above = extraterrestrial_of_day_fao56(air.latitude_deg, air.day_of_year);
    let daylight_h = daylight_hours_fao56(air.latitude_deg, air.day_of_year);
    let shortwave = shortwave_from_sunshine_fao56(above, air.sunshine_h / daylight_h);
    let clear = clear_sky_shortwave_fao56(above, air.elevation_m);
    let longwave = net_longwave_fao56(temps_k, air.vapour_pa, shortwave / clear);
    let weather = ReferenceWeather {
        air_temp_k: 0.5 * (temps_k[0] + temps_k[1]),
        vapour_deficit_pa: 0.5 * (saturated[0] + saturated[1]) - air.vapour_pa,
        wind_2m_m_s: air.wind_2m_m_s,
        net_radiation_w_m2: net_shortwave_fao56(shortwave) - longwave,
        ground_heat_w_m2: air.ground_mj / MJ_DAY,
        pressure_pa: air_pressure_fao56(air.elevation_m),
    };
    DayTerms {
        water: reference_evapotranspiration_fao56(&weather, Period::Day),
        weather,
        above_mj: above * MJ_DAY,
        daylight_h,
        shortwave_mj: shortwave * MJ_DAY,
        clear_mj: clear * MJ_DAY,
        longwave_mj: longwave * MJ_DAY,
    }
}

impl DayTerms {
    /// kPa, kPa/K, MJ/m2 a day, mm a day: slope, constant, deficit, sun above, daylight, shortwave,
    /// the same under a clear sky, net longwave, net radiation, part by radiation and by air.
    fn against(&self, printed: [[f64; 2]; 11]) -> Vec<Term> {
        let weather = &self.weather;
        let ours = [
            saturation_slope_fao56(weather.air_temp_k) / 1000.0,
            psychrometric_constant_fao56(weather.pressure_pa) / 1000.0,
            weather.vapour_deficit_pa / 1000.0,
            self.above_mj,
            self.daylight_h,
            self.shortwave_mj,
            self.clear_mj,
            self.longwave_mj,
            weather.net_radiation_w_m2 * MJ_DAY,
            self.water.by_radiation_kg_m2s * 86_400.0,
            self.water.by_air_kg_m2s * 86_400.0,
        ];
        ours.into_iter()
            .zip(printed)
            .map(|(ours, [printed, digit])| [ours, printed, digit])
            .collect()
    }
}

/// 13 deg 44 min north, 2 m, monthly means; the ground takes 0.14 MJ/m2 a day for each kelvin that
/// the month is warmer than the one before.
pub(crate) fn bangkok() -> Example {
    let terms = of_day(&DayAir {
        latitude_deg: 13.0 + 44.0 / 60.0,
        day_of_year: 105.0,
        elevation_m: 2.0,
        high_low_c: [34.8, 25.6],
        vapour_pa: 2850.0,
        wind_2m_m_s: 2.0,
        sunshine_h: 8.5,
        ground_mj: 0.14 * (30.2 - 29.2),
    });
    Example {
        water: [terms.water.total_kg_m2s() * 86_400.0, 5.72],
        terms: terms.against([
            [0.246, 0.001],
            [0.0674, 0.0001],
            [1.57, 0.01],
            [38.06, 0.01],
            [12.31, 0.01],
            [22.65, 0.01],
            [28.54, 0.01],
            [3.11, 0.01],
            [14.33, 0.01],
            [3.97, 0.01],
            [1.75, 0.01],
        ]),
    }
}

/// 50 deg 48 min north, 100 m, humidity 84 and 63 %, 10 km/h at 10 m.
pub(crate) fn uccle() -> Example {
    let [high_c, low_c] = [21.5, 12.3];
    let [high_pa, low_pa] = [high_c, low_c].map(|c| saturation_pressure_fao56(kelvin(c)));
    let vapour_pa = 0.5 * (low_pa * 0.84 + high_pa * 0.63);
    let wind_2m_m_s = wind_at_2m_fao56(10.0 / 3.6, 10.0);
    let terms = of_day(&DayAir {
        latitude_deg: 50.8,
        day_of_year: 187.0,
        elevation_m: 100.0,
        high_low_c: [high_c, low_c],
        vapour_pa,
        wind_2m_m_s,
        sunshine_h: 9.25,
        ground_mj: 0.0,
    });
    let mut all = terms.against([
        [0.122, 0.001],
        [0.0666, 0.0001],
        [0.589, 0.001],
        [41.09, 0.01],
        [16.1, 0.1],
        [22.07, 0.01],
        [30.90, 0.01],
        [3.71, 0.01],
        [13.28, 0.01],
        [2.81, 0.01],
        [1.07, 0.01],
    ]);
    all.push([vapour_pa / 1000.0, 1.409, 0.001]);
    all.push([wind_2m_m_s, 2.078, 0.001]);
    Example {
        water: [terms.water.total_kg_m2s() * 86_400.0, 3.88],
        terms: all,
    }
}

/// One of the two hours of example 19 (16 deg 13 min north, 16 deg 15 min west, 8 m, time of 15 deg
/// west), with what is printed for it.
#[derive(Clone, Copy)]
pub(crate) struct SenegalHour {
    middle_h: f64,
    air_c: f64,
    humidity: f64,
    wind_2m_m_s: f64,
    shortwave_mj: f64,
    /// Of the sunset before, where the sun is down.
    clear_share_by_night: Option<f64>,
    /// Heat into the ground as a share of net radiation.
    ground_share: f64,
    /// Slope, constant, deficit, hour angle, sun above, clear sky, net longwave, net radiation,
    /// ground, part by radiation and by air; with the unit of the last digit.
    printed: [[f64; 2]; 11],
    water_mm: f64,
}

pub(crate) const NIGHT: SenegalHour = SenegalHour {
    middle_h: 2.5,
    air_c: 28.0,
    humidity: 0.90,
    wind_2m_m_s: 1.9,
    shortwave_mj: 0.0,
    clear_share_by_night: Some(0.8),
    ground_share: 0.5,
    printed: [
        [0.220, 0.001],
        [0.0673, 0.0001],
        [0.378, 0.001],
        [-2.46, 0.01],
        [0.0, 0.001],
        [0.0, 0.001],
        [0.100, 0.001],
        [-0.100, 0.001],
        [-0.050, 0.001],
        [-0.01, 0.01],
        [0.01, 0.01],
    ],
    water_mm: 0.0,
};

pub(crate) const AFTERNOON: SenegalHour = SenegalHour {
    middle_h: 14.5,
    air_c: 38.0,
    humidity: 0.52,
    wind_2m_m_s: 3.3,
    shortwave_mj: 2.450,
    clear_share_by_night: None,
    ground_share: 0.1,
    printed: [
        [0.358, 0.001],
        [0.0673, 0.0001],
        [3.180, 0.001],
        [0.682, 0.001],
        [3.543, 0.001],
        [2.658, 0.001],
        [0.137, 0.001],
        [1.749, 0.001],
        [0.175, 0.001],
        [0.46, 0.01],
        [0.17, 0.01],
    ],
    water_mm: 0.63,
};

pub(crate) fn ndiaye(hour: SenegalHour) -> Example {
    let angle_rad = hour_angle_fao56(274.0, hour.middle_h, -16.25, -1.0);
    let latitude_deg = 16.0 + 13.0 / 60.0;
    let above = extraterrestrial_of_period_fao56(latitude_deg, 274.0, angle_rad, 1.0);
    let clear = clear_sky_shortwave_fao56(above, 8.0);
    let shortwave = hour.shortwave_mj / MJ_HOUR;
    let temp_k = kelvin(hour.air_c);
    let saturated_pa = saturation_pressure_fao56(temp_k);
    let vapour_pa = hour.humidity * saturated_pa;
    let clear_share = hour.clear_share_by_night.unwrap_or(shortwave / clear);
    let longwave = net_longwave_fao56([temp_k; 2], vapour_pa, clear_share);
    let net = net_shortwave_fao56(shortwave) - longwave;
    let weather = ReferenceWeather {
        air_temp_k: temp_k,
        vapour_deficit_pa: saturated_pa - vapour_pa,
        wind_2m_m_s: hour.wind_2m_m_s,
        net_radiation_w_m2: net,
        ground_heat_w_m2: hour.ground_share * net,
        pressure_pa: air_pressure_fao56(8.0),
    };
    let water = reference_evapotranspiration_fao56(&weather, Period::Hour);
    let ours = [
        saturation_slope_fao56(temp_k) / 1000.0,
        psychrometric_constant_fao56(weather.pressure_pa) / 1000.0,
        weather.vapour_deficit_pa / 1000.0,
        angle_rad,
        above * MJ_HOUR,
        clear * MJ_HOUR,
        longwave * MJ_HOUR,
        net * MJ_HOUR,
        weather.ground_heat_w_m2 * MJ_HOUR,
        water.by_radiation_kg_m2s * 3600.0,
        water.by_air_kg_m2s * 3600.0,
    ];
    let terms = ours.into_iter().zip(hour.printed);
    Example {
        water: [water.total_kg_m2s() * 3600.0, hour.water_mm],
        terms: terms
            .map(|(ours, [printed, digit])| [ours, printed, digit])
            .collect(),
    }
}
