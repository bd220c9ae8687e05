//! Keeps the record of a season while it is stepped: hours, months, heaters, faces.

mod places;

use overwinter_physics::moist_air;
use overwinter_physics::number::Real;
use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;

use crate::account::{Account, Amounts};
use crate::balance::Conditions;
use crate::house::House;
use crate::ledger::{HeatTerm, Month};
use crate::model::{AIR, CORE, FLOOR, FLOOR_IRRADIANCE, LEAF, LayerModel, Model, VAPOUR};
use crate::plant::HOUR_S;
use crate::record::{HeaterMonth, HourSeries, MoistureMonth, SeasonRecord};
use crate::step::Stepper;
use crate::wetness::innermost_film;
use places::places;

/// Months in a year.
const MONTHS: usize = 12;
/// Days of each month of a year without 29 February.
const MONTH_DAYS: [usize; MONTHS] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
/// Share of a face under water from which it counts as wet.
const WET_SHARE: f64 = 0.1;
/// Share of full output from which a heater counts as running at full.
const FULL_SHARE: f64 = 0.999;
/// Sun absorbed by leaves, W/m2 of leaf, from which the top leaf is not colder than the canopy.
const DAYLIGHT_W_M2: f64 = 2.0;

/// Extremes and sums within the hour under way, for one lane.
#[derive(Clone, Copy, Debug)]
struct Within {
    /// Air at the end of the step before.
    air_k: f64,
    air_ks: f64,
    air_lowest_k: f64,
    leaf_lowest_k: f64,
    below_set_k: f64,
    below_set_kh: f64,
    /// Time for which circulation fans and inflation blowers ran.
    fans_s: f64,
    blowers_s: f64,
}

impl Within {
    fn new(air_k: f64) -> Self {
        Self {
            air_k,
            air_ks: 0.0,
            air_lowest_k: f64::INFINITY,
            leaf_lowest_k: f64::INFINITY,
            below_set_k: 0.0,
            below_set_kh: 0.0,
            fans_s: 0.0,
            blowers_s: 0.0,
        }
    }
}

/// Sums and extremes of one place within the month under way, by area where they are amounts.
#[derive(Clone, Copy, Debug, Default)]
struct PlaceSums {
    wet_s: f64,
    most_pool_kg_m2: f64,
    light_lost_j: f64,
}

/// Records of houses stepped side by side, one a lane.
#[derive(Debug)]
pub struct Keeper<'a> {
    houses: &'a [&'a House],
    records: Vec<SeasonRecord>,
    within: Vec<Within>,
    month: usize,
    month_ends: [usize; MONTHS],
    /// Unknown of the inner film, by lane.
    inner_film: Vec<usize>,
    places: Vec<Vec<PlaceSums>>,
    heater_w: Vec<Vec<[f64; 3]>>,
}

impl<'a> Keeper<'a> {
    /// Empty records for the houses of a stepper.
    pub fn new<R: Real>(houses: &'a [&'a House], stepper: &Stepper<R>) -> Self {
        let records: Vec<SeasonRecord> = (0..houses.len())
            .map(|lane| empty_record(houses[lane], &stepper.model, lane))
            .collect();
        let mut end = 0;
        let month_ends = MONTH_DAYS.map(|days| {
            end += days * 24;
            end
        });
        Self {
            within: (0..houses.len())
                .map(|lane| Within::new(stepper.state.now[AIR].lane(lane)))
                .collect(),
            places: vec![vec![PlaceSums::default(); stepper.model.places]; houses.len()],
            heater_w: houses
                .iter()
                .map(|h| vec![[0.0; 3]; h.heaters.len()])
                .collect(),
            month: 0,
            month_ends,
            inner_film: (0..houses.len())
                .map(|lane| inner_film(&stepper.model, lane))
                .collect(),
            houses,
            records,
        }
    }

    /// Takes the end of a step.
    pub fn step<R: Real>(
        &mut self,
        stepper: &Stepper<R>,
        conditions: &Conditions<R>,
        account: &Account<R>,
        step_s: f64,
    ) {
        let state = &stepper.state;
        let top_leaf_k = top_leaf_k(&stepper.model, &state.now, conditions);
        for (lane, within) in self.within.iter_mut().enumerate() {
            let missed_k = missed_k(self.houses[lane], lane, stepper, conditions);
            let air_k = state.now[AIR].lane(lane);
            within.air_ks += 0.5 * (within.air_k + air_k) * step_s;
            within.air_k = air_k;
            within.air_lowest_k = within.air_lowest_k.min(air_k);
            within.leaf_lowest_k = within.leaf_lowest_k.min(top_leaf_k.lane(lane));
            within.below_set_k = within.below_set_k.max(missed_k);
            within.below_set_kh += missed_k * step_s / HOUR_S;
            within.fans_s += if conditions.runs.fans { step_s } else { 0.0 };
            within.blowers_s += if conditions.runs.blowers { step_s } else { 0.0 };
        }
        self.wet_faces(stepper, conditions, step_s);
        self.heater_time(stepper, &account.sum, step_s);
    }

    /// Takes the end of an hour, and of its month where it is the last.
    pub fn end_hour<R: Real>(
        &mut self,
        hour: usize,
        stepper: &mut Stepper<R>,
        account: &mut Account<R>,
    ) {
        for lane in 0..self.houses.len() {
            self.hour_of_lane(lane, stepper, &account.sum);
            self.within[lane] = Within::new(self.within[lane].air_k);
        }
        account.clear();
        if hour + 1 == self.month_ends[self.month] {
            self.end_month(stepper);
            self.month = (self.month + 1).min(MONTHS - 1);
        }
    }

    /// The finished records.
    pub fn finish<R: Real>(
        mut self,
        stepper: &Stepper<R>,
        account: &Account<R>,
        start: &[R],
    ) -> Vec<SeasonRecord> {
        for (lane, record) in self.records.iter_mut().enumerate() {
            record.effort = stepper.effort(lane);
            record.worst_energy_residual = account.worst[0].lane(lane);
            record.worst_water_residual = account.worst[1].lane(lane);
            record.start_mismatch_k = ground_mismatch_k(stepper, start, lane);
        }
        self.records
    }

    fn wet_faces<R: Real>(
        &mut self,
        stepper: &Stepper<R>,
        conditions: &Conditions<R>,
        step_s: f64,
    ) {
        let model = &stepper.model;
        let sections = model.sections.iter().zip(&conditions.sun.dry_light_w);
        let layers = sections.flat_map(|(section, light_w)| {
            let of_layer = |layer: &LayerModel<R>| {
                let kept_out = conditions.light_kept_out[layer.place_at];
                (layer.place_at, layer.place, *light_w * kept_out)
            };
            section.layers.iter().map(of_layer)
        });
        let leaves = (model.leaf_place(), model.crop.place, R::zero());
        for (at, place, lost_w) in layers.chain([leaves]) {
            let held = &stepper.state.water[at];
            let wet = place.wet_share(held);
            for (lane, places) in self.places.iter_mut().enumerate() {
                let sums = &mut places[at];
                if wet.lane(lane) > WET_SHARE {
                    sums.wet_s += step_s;
                }
                sums.most_pool_kg_m2 = sums.most_pool_kg_m2.max(held.pool_kg_m2.lane(lane));
                sums.light_lost_j += lost_w.lane(lane) * step_s;
            }
        }
    }

    fn heater_time<R: Real>(&mut self, stepper: &Stepper<R>, sum: &Amounts<R>, step_s: f64) {
        for (lane, heaters) in self.heater_w.iter_mut().enumerate() {
            let outputs = sum.heater_w.iter().take(sum.heaters);
            let together_w: f64 = outputs.map(|output| output.lane(lane)).sum();
            let highest_w = &mut self.records[lane].highest_output_w;
            *highest_w = highest_w.max(together_w);
            for (index, [_, full_s, running_s]) in heaters.iter_mut().enumerate() {
                let output_w = sum.heater_w[index].lane(lane);
                let full_w = stepper.plant.heaters[index].output_w.lane(lane);
                if output_w >= full_w * FULL_SHARE && full_w > 0.0 {
                    *full_s += step_s;
                }
                if output_w > full_w * (1.0 - FULL_SHARE) {
                    *running_s += step_s;
                }
            }
        }
    }

    fn hour_of_lane<R: Real>(&mut self, lane: usize, stepper: &Stepper<R>, amounts: &Amounts<R>) {
        let house = self.houses[lane];
        let now = |index: usize| stepper.state.now[index].lane(lane);
        let model = &stepper.model;
        let heat = |term: HeatTerm| amounts.heat_j[term as usize].lane(lane) / HOUR_S;
        let within = self.within[lane];
        let vent = amounts.vent_open_s.lane(lane) / HOUR_S;
        let fan_w = house.vents.as_ref().map_or(0.0, |v| v.fan_electric_w) * vent;
        let heater_electric_w: f64 = house
            .heaters
            .iter()
            .enumerate()
            .filter(|(_, heater)| heater.output_w > 0.0)
            .map(|(index, heater)| {
                amounts.heater_j[index].lane(lane) / HOUR_S / heater.output_w * heater.electric_w
            })
            .sum();
        let shares = [0, 1].map(|c| model.column_share[c].lane(lane));
        let circulation_j = house.fans.circulation_w * within.fans_s;
        let blower_j = house.fans.blower_w * within.blowers_s;
        let hours = &mut self.records[lane].hours;
        hours.air_temp_k.push(now(AIR));
        hours.air_mean_k.push(within.air_ks / HOUR_S);
        hours.air_lowest_k.push(within.air_lowest_k);
        hours.leaf_temp_k.push(now(LEAF));
        hours.top_leaf_lowest_k.push(within.leaf_lowest_k);
        hours
            .relative_humidity
            .push(moist_air::relative_humidity(now(VAPOUR), now(AIR)));
        hours
            .floor_temp_k
            .push(now(FLOOR[0]) * shares[0] + now(FLOOR[1]) * shares[1]);
        hours.inner_film_temp_k.push(now(self.inner_film[lane]));
        hours.heat_w.push(heat(HeatTerm::Heater));
        hours.cool_w.push(-heat(HeatTerm::Cooling));
        hours.solar_w.push(heat(HeatTerm::SunInside));
        hours
            .air_change_per_h
            .push(amounts.exchanged_m3.lane(lane) / house.volume_m3);
        hours.vent_opening.push(vent);
        hours.below_set_k.push(within.below_set_k);
        hours
            .electric_w
            .push((circulation_j + blower_j) / HOUR_S + fan_w + heater_electric_w);
        let month = &mut self.records[lane].months[self.month];
        month.circulation_j += circulation_j;
        month.blower_j += blower_j;
        self.add_to_month(lane, amounts, fan_w, within.below_set_kh);
    }

    fn add_to_month<R: Real>(
        &mut self,
        lane: usize,
        amounts: &Amounts<R>,
        fan_w: f64,
        below_set_kh: f64,
    ) {
        let house = self.houses[lane];
        let record = &mut self.records[lane];
        let month = &mut record.months[self.month];
        for (sum, amount) in month.heat_j.iter_mut().zip(amounts.heat_j) {
            *sum += amount.lane(lane);
        }
        for (sum, amount) in month.water_kg.iter_mut().zip(amounts.water_kg) {
            *sum += amount.lane(lane);
        }
        month.stored_j += amounts.stored_j.lane(lane);
        month.stored_kg +=
            amounts.stored_vapour_kg.lane(lane) + amounts.stored_places_kg.lane(lane);
        month.heat_residual_j += amounts.heat_residual_j().lane(lane);
        month.water_residual_kg += amounts.water_residual_kg().lane(lane);
        month.vent_fan_j += fan_w * HOUR_S;
        month.below_set_kh += below_set_kh;
        month.hours += 1.0;
        for (index, heater) in house.heaters.iter().enumerate() {
            let heat_j = amounts.heater_j[index].lane(lane);
            let entry = &mut record.heaters[index][self.month];
            entry.heat_j += heat_j;
            let peak_w = &mut self.heater_w[lane][index][0];
            *peak_w = peak_w.max(heat_j / HOUR_S);
            if heater.output_w > 0.0 {
                entry.electric_j += heat_j / heater.output_w * heater.electric_w;
            }
        }
    }

    fn end_month<R: Real>(&mut self, stepper: &mut Stepper<R>) {
        let moved = stepper.moved_so_far();
        let month = self.month;
        for (lane, record) in self.records.iter_mut().enumerate() {
            for (index, [peak_w, full_s, running_s]) in self.heater_w[lane].iter_mut().enumerate() {
                let entry = &mut record.heaters[index][month];
                entry.peak_w = *peak_w;
                entry.full_output_h = *full_s / HOUR_S;
                entry.running_h = *running_s / HOUR_S;
                [*peak_w, *full_s, *running_s] = [0.0; 3];
            }
            for (at, place) in record.moisture.iter_mut().enumerate() {
                let of = |kg_m2: R| kg_m2.lane(lane) * place.area_m2;
                let sums = std::mem::take(&mut self.places[lane][at]);
                place.months[month] = MoistureMonth {
                    condensed_kg: of(moved[at].condensed_kg_m2),
                    evaporated_kg: of(moved[at].evaporated_kg_m2),
                    drained_kg: of(moved[at].gutter_kg_m2),
                    dripped_kg: of(moved[at].drip_kg_m2),
                    frozen_kg: of(moved[at].frozen_kg_m2),
                    wet_h: sums.wet_s / HOUR_S,
                    held_kg: of(stepper.state.water[at].with_pool_kg_m2()),
                    kept_in_gap_kg: sums.most_pool_kg_m2 * place.area_m2,
                    light_lost_j: sums.light_lost_j,
                };
            }
        }
        stepper.forget_moved();
    }
}

/// How far a lane's air is below what a working heater would hold, K.
fn missed_k<R: Real>(
    house: &House,
    lane: usize,
    stepper: &Stepper<R>,
    conditions: &Conditions<R>,
) -> f64 {
    let Some(heater) = house.heaters.first() else {
        return 0.0;
    };
    let lowest_k = conditions.heat_set_k.lane(lane) + heater.offset_k - heater.band_k / 2.0;
    (lowest_k - stepper.state.now[AIR].lane(lane)).max(0.0)
}

/// Temperature of a dry leaf at the top of the crop that sees the cover above and the crop (or the
/// floor) below, K: `h (T_a - T) 2 + e (H_F + B_below - 2 B(T)) = 0`, linear around the air.
///
/// By day the leaf is not colder than the canopy: its own sun is left out.
pub(crate) fn top_leaf_k<R: Real>(model: &Model<R>, now: &[R], conditions: &Conditions<R>) -> R {
    let crop = &model.crop;
    let air_k = now[AIR];
    let cubed = air_k * air_k * air_k;
    let emitted = cubed * air_k * STEFAN_BOLTZMANN_W_M2K4;
    let slope = cubed * (4.0 * STEFAN_BOLTZMANN_W_M2K4);
    let below_k = R::select(
        R::zero().lt(crop.present),
        now[LEAF],
        now[FLOOR[0]] * model.column_share[0] + now[FLOOR[1]] * model.column_share[1],
    );
    let below = below_k.squared().squared() * STEFAN_BOLTZMANN_W_M2K4;
    let net = crop.emissivity * (now[FLOOR_IRRADIANCE] + below - emitted * 2.0);
    let convection = crop.convection_w_k / crop.two_sided_m2;
    let dark_k = air_k + net / ((convection + crop.emissivity * slope) * 2.0);
    let light = conditions.sun.leaf_w / crop.two_sided_m2;
    R::select(
        R::splat(DAYLIGHT_W_M2).lt(light),
        dark_k.max(now[LEAF]),
        dark_k,
    )
}

/// Unknown of the innermost fixed layer of the largest section (a wall's face if there is none).
fn inner_film<R: Real>(model: &Model<R>, lane: usize) -> usize {
    model
        .sections
        .iter()
        .max_by(|a, b| a.area_m2.lane(lane).total_cmp(&b.area_m2.lane(lane)))
        .map_or(CORE, |section| {
            section.offset + section.layers[innermost_film(section)].at
        })
}

fn empty_record<R: Real>(house: &House, model: &Model<R>, lane: usize) -> SeasonRecord {
    SeasonRecord {
        months: vec![Month::default(); MONTHS],
        hours: HourSeries::with_room(),
        heaters: vec![[HeaterMonth::default(); MONTHS]; house.heaters.len()],
        moisture: places(house, model, lane),
        effort: crate::record::Effort::default(),
        worst_energy_residual: 0.0,
        worst_water_residual: 0.0,
        start_mismatch_k: 0.0,
        holding_peak_w: None,
        highest_output_w: 0.0,
    }
}

fn ground_mismatch_k<R: Real>(stepper: &Stepper<R>, start: &[R], lane: usize) -> f64 {
    stepper
        .model
        .columns
        .iter()
        .filter(|column| column.chain.area_m2.lane(lane) > 0.0)
        .flat_map(|column| column.offset..column.offset + column.chain.conductance_w_k.len())
        .map(|index| (stepper.state.now[index].lane(lane) - start[index].lane(lane)).abs())
        .fold(0.0, f64::max)
}
