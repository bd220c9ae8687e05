//! What holds in each step: outdoors, sun, set points, gains, soil, gathered lane by lane.

use overwinter_physics::ground::undisturbed_soil_kusuda1965;
use overwinter_physics::number::Real;
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

use crate::absorbed_sun::{AbsorbedSun, Light};
use crate::balance::{Conditions, Running};
use crate::control::Setting;
use crate::drive::{Drive, DriveSeries};
use crate::failure::Works;
use crate::house::{Below, House, Leakage};
use crate::light_shares::{LightShares, light_shares, light_shares_under_screens};
use crate::model::Model;
use crate::plant::HOUR_S;
use crate::step::State;

use crate::sunlight::Sunlight;

/// Hours in a day.
const DAY_H: usize = 24;
/// A vent or cooling set point that is never reached.
const NEVER_K: f64 = 1000.0;

/// Everything that drives houses of one layout, one in each lane.
#[derive(Debug)]
pub struct Schedule<'a> {
    houses: &'a [&'a House],
    years: &'a [&'a Year],
    suns: &'a [&'a Sunlight],
    shares: Vec<[LightShares; 2]>,
    drives: Vec<DriveSeries>,
    vents_k: Vec<Setting>,
    coolers_k: Vec<Setting>,
    /// True if no set point and no gain of any lane changes in the year.
    is_steady: bool,
}

impl<'a> Schedule<'a> {
    /// Prepares the drives of each lane.
    pub fn new(houses: &'a [&'a House], years: &'a [&'a Year], suns: &'a [&'a Sunlight]) -> Self {
        let never = || Setting::Constant(NEVER_K);
        Self {
            is_steady: houses.iter().all(|house| is_steady(house)),
            houses,
            years,
            suns,
            shares: houses
                .iter()
                .map(|house| [light_shares(house), light_shares_under_screens(house)])
                .collect(),
            drives: houses
                .iter()
                .zip(years)
                .map(|(h, y)| DriveSeries::new(h, y))
                .collect(),
            vents_k: houses
                .iter()
                .map(|h| h.vents.as_ref().map_or_else(never, |v| v.set_k.clone()))
                .collect(),
            coolers_k: houses
                .iter()
                .map(|h| h.cooler.as_ref().map_or_else(never, |c| c.set_k.clone()))
                .collect(),
        }
    }

    /// Conditions with everything still to be filled in.
    pub fn blank<R: Real>(&self) -> Conditions<R> {
        let first = self.houses[0];
        let zero = R::zero();
        Conditions {
            drive: Drive::gather(&self.drives, 0, 0.0),
            sun: AbsorbedSun::dark(first.sections.len(), first.walls.len()),
            heat_set_k: zero,
            vent_set_k: zero,
            cool_set_k: zero,
            convective_gain_w: zero,
            radiant_gain_w: zero,
            ventilation_m3_s: zero,
            air_change_m3_s: zero,
            screen_closed: vec![zero; first.sections.len()],
            light_kept: vec![R::one(); first.sections.len()],
            light_kept_out: vec![zero; first.sections.iter().map(|s| s.layers.len()).sum()],
            sun_row: Vec::new(),
            soil_outside_k: [0, 1].map(|c| vec![zero; first.floor.columns[c].solids.len() + 1]),
            below_k: [zero; 2],
            steady_with_fans: None,
            runs: Running {
                fans: true,
                blowers: true,
            },
        }
    }

    /// Sets what holds for a whole hour: the screens, what water leaves of the light, and once a day
    /// the soil outside.
    pub fn begin_hour<R: Real>(
        &self,
        hour: usize,
        works: &Works,
        model: &Model<R>,
        state: &State<R>,
        conditions: &mut Conditions<R>,
    ) {
        self.screens(hour, works, conditions);
        light_kept(model, state, conditions);
        if hour.is_multiple_of(DAY_H) {
            self.soil(hour, conditions);
        }
        self.below(hour, conditions);
    }

    /// Soil outside and below and the screens, before the first hour of a run.
    pub fn begin<R: Real>(&self, hour: usize, conditions: &mut Conditions<R>) {
        // The soil outside is that of the last midnight, the screens hang as in the hour before.
        self.soil(hour - hour % DAY_H, conditions);
        self.below(hour, conditions);
        self.screens((hour + HOURS - 1) % HOURS, &Works::all(), conditions);
    }

    /// Sets what holds at the end of a step, `share` (0 to 1) of the way through the hour.
    #[inline]
    pub fn step_end<R: Real>(
        &self,
        hour: usize,
        share: f64,
        works: &Works,
        conditions: &mut Conditions<R>,
    ) {
        conditions.drive = Drive::gather(&self.drives, hour, share);
        conditions.runs = Running {
            fans: works.fans_run(),
            blowers: works.blowers_run(),
        };
        self.sun(hour, share, conditions);
        let ventilations = self
            .houses
            .iter()
            .map(|house| &house.gains.ventilation_m3_s);
        for (lane, setting) in ventilations.enumerate() {
            let flow_m3_s = setting.at(hour, share);
            conditions.ventilation_m3_s.set_lane(lane, flow_m3_s);
        }
        // Settings that never move are set once, and again when the fans stop or start.
        let fans_run = Some(works.fans_run());
        if self.is_steady && conditions.steady_with_fans == fans_run {
            return;
        }
        conditions.steady_with_fans = fans_run;
        for lane in 0..self.houses.len() {
            self.settings(lane, hour, share, works, conditions);
        }
    }

    fn settings<R: Real>(
        &self,
        lane: usize,
        hour: usize,
        share: f64,
        works: &Works,
        conditions: &mut Conditions<R>,
    ) {
        let house = self.houses[lane];
        let at = |setting: &Setting| setting.at(hour, share);
        let gains = &house.gains;
        let [heat_k, cool_k] = apart(house, [at(&house.heat_set_k), at(&self.coolers_k[lane])]);
        conditions.heat_set_k.set_lane(lane, heat_k);
        conditions.cool_set_k.set_lane(lane, cool_k);
        conditions
            .vent_set_k
            .set_lane(lane, at(&self.vents_k[lane]));
        let fans_w = if works.fans_run() {
            house.fans.circulation_w
        } else {
            0.0
        };
        let convective = at(&gains.convective_w) + fans_w;
        conditions.convective_gain_w.set_lane(lane, convective);
        conditions
            .radiant_gain_w
            .set_lane(lane, at(&gains.radiant_w));
        let stated = match &house.leakage {
            Leakage::Area { .. } => 0.0,
            Leakage::AirChange { per_hour } => at(per_hour) * house.volume_m3 / HOUR_S,
        };
        conditions.air_change_m3_s.set_lane(lane, stated);
    }

    fn screens<R: Real>(&self, hour: usize, works: &Works, conditions: &mut Conditions<R>) {
        for (lane, (house, year)) in self.houses.iter().zip(self.years).enumerate() {
            for (section, closed) in house.sections.iter().zip(&mut conditions.screen_closed) {
                let Some(rule) = &section.screen else {
                    continue;
                };
                let has_motor_power = works.fans_run() || !rule.needs_electricity;
                let wanted = works.stuck_screens().or_else(|| {
                    let is_dark = year.global_horizontal_w_m2[hour] < rule.close_below_w_m2;
                    let is_cold = year.air_temp_k[hour] < rule.open_above_k;
                    has_motor_power.then_some(is_dark && is_cold)
                });
                if let Some(drawn) = wanted {
                    closed.set_lane(lane, f64::from(u8::from(drawn)));
                }
            }
        }
    }

    #[inline]
    fn sun<R: Real>(&self, hour: usize, share: f64, conditions: &mut Conditions<R>) {
        let Conditions {
            sun,
            sun_row,
            screen_closed,
            light_kept,
            ..
        } = conditions;
        if sun.is_dark && self.suns.iter().all(|lane| lane.is_dark_around(hour)) {
            return;
        }
        sun.is_dark = true;
        for (lane, house) in self.houses.iter().enumerate() {
            let drawn = screen_closed.iter().any(|closed| closed.lane(lane) > 0.5);
            let shares = &self.shares[lane][usize::from(drawn)];
            let row = self.suns[lane].instant(hour, share, sun_row);
            sun.fill(
                lane,
                house,
                Light { sun: row, shares },
                screen_closed,
                light_kept,
            );
            sun.is_dark &= self.suns[lane].is_dark_around(hour);
        }
    }

    fn soil<R: Real>(&self, hour: usize, conditions: &mut Conditions<R>) {
        let day = hour as f64 / DAY_H as f64;
        for (lane, house) in self.houses.iter().enumerate() {
            let soil = &house.floor.soil_outside;
            for (column, temps) in house
                .floor
                .columns
                .iter()
                .zip(&mut conditions.soil_outside_k)
            {
                let mut depth_m = 0.0;
                for (node, temp) in temps.iter_mut().enumerate() {
                    let outside = undisturbed_soil_kusuda1965(
                        depth_m,
                        day,
                        soil.mean_k,
                        soil.swing_k,
                        soil.coldest_day,
                        soil.diffusivity_m2_s,
                    );
                    temp.set_lane(lane, outside);
                    depth_m += column
                        .solids
                        .get(node)
                        .map_or(0.0, |solid| solid.thickness_m);
                }
            }
        }
    }

    fn below<R: Real>(&self, hour: usize, conditions: &mut Conditions<R>) {
        let day = hour as f64 / DAY_H as f64;
        for (lane, (house, year)) in self.houses.iter().zip(self.years).enumerate() {
            let [middle, edge] = &house.floor.columns;
            for (index, column) in [middle, edge].into_iter().enumerate() {
                if index > 0 && edge.below == middle.below {
                    let same_k = conditions.below_k[0].lane(lane);
                    conditions.below_k[index].set_lane(lane, same_k);
                    continue;
                }
                let temp_k = match column.below {
                    Below::DeepSoil {
                        mean_k,
                        swing_k,
                        coldest_day,
                        ..
                    } => undisturbed_soil_kusuda1965(0.0, day, mean_k, swing_k, coldest_day, 1e-6),
                    Below::OutdoorAir { .. } => year.air_temp_k[hour + 1],
                    Below::Adiabatic => year.air_temp_k[hour + 1],
                };
                conditions.below_k[index].set_lane(lane, temp_k);
            }
        }
    }
}

/// True if no set point and no gain of a house changes in the year; ventilation may.
fn is_steady(house: &House) -> bool {
    let air_change = match &house.leakage {
        Leakage::Area { .. } => None,
        Leakage::AirChange { per_hour } => Some(per_hour),
    };
    let settings = [
        Some(&house.heat_set_k),
        Some(&house.gains.convective_w),
        Some(&house.gains.radiant_w),
        house.vents.as_ref().map(|vents| &vents.set_k),
        house.cooler.as_ref().map(|cooler| &cooler.set_k),
        air_change,
    ];
    let mut given = settings.into_iter().flatten();
    given.all(|setting| matches!(setting, Setting::Constant(_)))
}

/// Set points of heating and cooling moved apart, each by half of what their bands share, so that
/// the two never work at once.
fn apart(house: &House, [heat_k, cool_k]: [f64; 2]) -> [f64; 2] {
    let Some(cooler) = &house.cooler else {
        return [heat_k, cool_k];
    };
    let off_k = house
        .heaters
        .iter()
        .map(|heater| heat_k + heater.offset_k + heater.band_k / 2.0)
        .fold(f64::NEG_INFINITY, f64::max);
    let shared_k = (off_k - (cool_k - cooler.band_k / 2.0)).max(0.0);
    [heat_k - shared_k / 2.0, cool_k + shared_k / 2.0]
}

/// Share of each section's light that the water on it leaves, and what each face keeps out of it,
/// from the outermost inwards.
fn light_kept<R: Real>(model: &Model<R>, state: &State<R>, conditions: &mut Conditions<R>) {
    let sections = model.sections.iter().zip(&conditions.screen_closed);
    for ((section, closed), kept) in sections.zip(&mut conditions.light_kept) {
        *kept = R::one();
        for (index, layer) in section.layers.iter().enumerate().rev() {
            let wet = layer.place.wet_share(&state.water[layer.place_at]);
            // A screen that is folded away is not in the light.
            let lit = if section.has_screen && index == 0 {
                *closed
            } else {
                R::one()
            };
            let arriving = *kept;
            *kept = arriving * (R::one() - wet * layer.light_loss * lit);
            conditions.light_kept_out[layer.place_at] = arriving - *kept;
        }
    }
}
