//! What steers the house: settings by hour, heaters, vents, cooling, screens, fans, gains.

use std::sync::Arc;

/// A quantity that is constant or given for each hour of the year.
#[derive(Clone, Debug, PartialEq)]
pub enum Setting {
    /// The same all year.
    Constant(f64),
    /// Value at the start and at the end of each of the 8,760 hours, linear in between, so that
    /// steps fall on hours and ramps are straight.
    ByHour(Arc<[[f64; 2]]>),
}

impl Setting {
    /// The value in `hour` at `share` (0 to 1) of it.
    pub fn at(&self, hour: usize, share: f64) -> f64 {
        match self {
            Self::Constant(value) => *value,
            Self::ByHour(hours) => {
                let [start, end] = hours[hour];
                start + (end - start) * share
            }
        }
    }
}

/// A heater with a proportional band around its set point.
#[derive(Clone, Debug, PartialEq)]
pub struct Heater {
    /// Name for reports.
    pub name: String,
    /// Full output to the house, after losses.
    pub output_w: f64,
    /// Heat to the house per fuel energy (higher heating value).
    pub efficiency: f64,
    /// Catalogue name of the fuel.
    pub fuel: String,
    /// Electric draw of its fan and controls at full output.
    pub electric_w: f64,
    /// True if it stops when the power fails.
    pub needs_electricity: bool,
    /// Added to the hold temperature: a second stage stands below the first.
    pub offset_k: f64,
    /// Band: full output half a band below the set point, none half a band above.
    pub band_k: f64,
    /// Share of the output that goes to the air; the rest radiates to crop and floor.
    pub convective_share: f64,
    /// Water given to the house air per joule of output; 0 for a vented heater.
    pub water_kg_j: f64,
}

/// Vents or fans that open above a set point.
#[derive(Clone, Debug, PartialEq)]
pub struct Vents {
    /// Set point at which they start to open.
    pub set_k: Setting,
    /// Band over which they open fully.
    pub band_k: f64,
    /// Opening area, all vents together; 0 if there are only fans.
    pub area_m2: f64,
    /// Height of the stack that drives the flow.
    pub stack_height_m: f64,
    /// Discharge coefficient.
    pub discharge: f64,
    /// Wind effect coefficient.
    pub wind: f64,
    /// Flow of exhaust fans at full opening.
    pub fan_flow_m3_s: f64,
    /// Electric draw of those fans at full opening.
    pub fan_electric_w: f64,
}

/// Mechanical cooling with a proportional band.
#[derive(Clone, Debug, PartialEq)]
pub struct Cooler {
    /// Set point.
    pub set_k: Setting,
    /// Largest heat removed.
    pub capacity_w: f64,
    /// Band, centred on the set point.
    pub band_k: f64,
}

/// When a movable screen closes.
#[derive(Clone, Debug, PartialEq)]
pub struct ScreenRule {
    /// Closes when the global irradiance of the hour is below this.
    pub close_below_w_m2: f64,
    /// Stays open when the outdoor air is warmer than this.
    pub open_above_k: f64,
    /// True if a motor moves it, so that it stays where it is when the power fails.
    pub needs_electricity: bool,
}

/// Fans that run all the time.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Fans {
    /// Electric draw of circulation fans, which ends as heat in the house.
    pub circulation_w: f64,
    /// Electric draw of inflation blowers.
    pub blower_w: f64,
    /// Air speed the circulation fans keep up along the cover and the leaves, 0 for still air.
    pub air_speed_m_s: f64,
}

/// Internal gains.
#[derive(Clone, Debug, PartialEq)]
pub struct Gains {
    /// To the air.
    pub convective_w: Setting,
    /// To the surfaces, by area.
    pub radiant_w: Setting,
    /// Outdoor air moved on purpose (scheduled ventilation).
    pub ventilation_m3_s: Setting,
}

impl Default for Gains {
    fn default() -> Self {
        Self {
            convective_w: Setting::Constant(0.0),
            radiant_w: Setting::Constant(0.0),
            ventilation_m3_s: Setting::Constant(0.0),
        }
    }
}
