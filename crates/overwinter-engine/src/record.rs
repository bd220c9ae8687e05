//! What a season leaves behind: the monthly ledger, the hours, heaters, effort.

use overwinter_weather::year::HOURS;

use crate::ledger::Month;

/// The result of one case over one year.
#[derive(Clone, Debug)]
pub struct SeasonRecord {
    /// Energy and water account of each of the twelve months.
    pub months: Vec<Month>,
    /// States and fluxes of each hour.
    pub hours: HourSeries,
    /// Per heater, per month.
    pub heaters: Vec<[HeaterMonth; 12]>,
    /// Water places, per month: the lower face of every cover layer and the crop.
    pub moisture: Vec<PlaceMoisture>,
    /// Steps, redos, fallbacks.
    pub effort: Effort,
    /// Largest residual of the energy account in any step, as a share of that step's throughput.
    pub worst_energy_residual: f64,
    /// The same for water.
    pub worst_water_residual: f64,
    /// Largest difference of any soil node between the end and the start of the year.
    pub start_mismatch_k: f64,
    /// Highest output that holding the set point all year would have asked for in any step; `None`
    /// where the heaters were enough or there are none.
    pub holding_peak_w: Option<f64>,
    /// Highest output of all heaters together at the end of any step.
    pub highest_output_w: f64,
}

/// Hourly series; each has 8,760 values. Temperatures are those at the end of the hour unless
/// the name says otherwise; fluxes are means over the hour.
#[derive(Clone, Debug, Default)]
pub struct HourSeries {
    /// House air.
    pub air_temp_k: Vec<f64>,
    /// House air, mean over the hour.
    pub air_mean_k: Vec<f64>,
    /// Lowest house air temperature within the hour.
    pub air_lowest_k: Vec<f64>,
    /// Mean leaf temperature of the canopy.
    pub leaf_temp_k: Vec<f64>,
    /// Lowest temperature within the hour of a leaf at the top that sees the cover; frost is
    /// judged on it.
    pub top_leaf_lowest_k: Vec<f64>,
    /// Relative humidity of the house air, 0 to 1.
    pub relative_humidity: Vec<f64>,
    /// Floor surface, mean of the columns by area.
    pub floor_temp_k: Vec<f64>,
    /// Inner film (innermost fixed layer of the largest section).
    pub inner_film_temp_k: Vec<f64>,
    /// Heat from all heaters.
    pub heat_w: Vec<f64>,
    /// Heat removed by mechanical cooling.
    pub cool_w: Vec<f64>,
    /// Sun absorbed in the house (not in the cover).
    pub solar_w: Vec<f64>,
    /// Air exchange of all kinds, volumes an hour.
    pub air_change_per_h: Vec<f64>,
    /// Vent opening, 0 to 1.
    pub vent_opening: Vec<f64>,
    /// Share by which the hold temperature was missed: set point minus air, 0 if held.
    pub below_set_k: Vec<f64>,
    /// Electricity of all fans, blowers and heaters.
    pub electric_w: Vec<f64>,
}

impl HourSeries {
    /// Empty series with room for a year, so that no hour has to ask for more.
    pub(crate) fn with_room() -> Self {
        let room = || Vec::with_capacity(HOURS);
        Self {
            air_temp_k: room(),
            air_mean_k: room(),
            air_lowest_k: room(),
            leaf_temp_k: room(),
            top_leaf_lowest_k: room(),
            relative_humidity: room(),
            floor_temp_k: room(),
            inner_film_temp_k: room(),
            heat_w: room(),
            cool_w: room(),
            solar_w: room(),
            air_change_per_h: room(),
            vent_opening: room(),
            below_set_k: room(),
            electric_w: room(),
        }
    }
}

/// One heater in one month.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct HeaterMonth {
    /// Heat delivered.
    pub heat_j: f64,
    /// Electricity used by the heater.
    pub electric_j: f64,
    /// Largest mean output over an hour.
    pub peak_w: f64,
    /// Time at full output.
    pub full_output_h: f64,
    /// Time with some output.
    pub running_h: f64,
}

/// Water on one place in each month.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceMoisture {
    /// Name: section, layer and what its lower face meets, or crop.
    pub name: String,
    /// Where the face is.
    pub side: Side,
    /// Area of the place.
    pub area_m2: f64,
    /// Per month.
    pub months: [MoistureMonth; 12],
}

/// Where a face that water settles on is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// A film or pane that meets the house air.
    House,
    /// A screen, when it is drawn.
    Screen,
    /// Above a screen.
    AboveScreen,
    /// In an inflated gap.
    Gap,
    /// In a sealed space, where nothing settles.
    Sealed,
    /// The leaves.
    Leaves,
}

/// Water on one place in one month.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MoistureMonth {
    /// Vapour that settled.
    pub condensed_kg: f64,
    /// Water that dried off.
    pub evaporated_kg: f64,
    /// Water that ran to the gutter.
    pub drained_kg: f64,
    /// Water that dripped on crop and floor.
    pub dripped_kg: f64,
    /// Water that froze.
    pub frozen_kg: f64,
    /// Time with more than a tenth of the face wet.
    pub wet_h: f64,
    /// Water on the place at the end of the month, what stands in its gap included.
    pub held_kg: f64,
    /// Largest amount that stood at the low edge of the gap; 0 where water drains.
    pub kept_in_gap_kg: f64,
    /// Sunlight that the wet face kept out: what the cover would let in with the face dry less what
    /// it lets in, the faces counted in the order in which light meets them.
    pub light_lost_j: f64,
}

/// What the integrator did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Effort {
    /// Steps taken.
    pub steps: u32,
    /// Extra passes because a regime flipped or the air moved far.
    pub redos: u32,
    /// Steps that fell back to backward-Euler sub-steps.
    pub fallbacks: u32,
}
