//! Heaters, vents, cooling and leaks as the balance sees them: a flux at the linearisation point
//! and its slope with the house air temperature.

use overwinter_physics::air_exchange;
use overwinter_physics::number::Real;

use crate::drive::Drive;
use crate::failure::Door;
use crate::house::{House, Leakage};

/// Discharge of an open door (0.6 to 0.65, from memory).
pub(crate) const DOOR_DISCHARGE: f64 = 0.6;
/// Seconds in an hour.
pub const HOUR_S: f64 = 3600.0;

/// Something that works in proportion between off and full.
#[derive(Clone, Copy, Debug)]
pub struct Share<R> {
    /// Share of full action at the linearisation point.
    pub value: R,
    /// Its slope with the house air temperature.
    pub slope_per_k: R,
}

impl<R: Real> Share<R> {
    /// Rises from 0 to 1 as `input` does; `per_k` is the slope of `input` with air temperature.
    #[inline(always)]
    fn of(input: R, per_k: R) -> Self {
        let value = input.clamp_between(0.0, 1.0);
        let below = R::select(R::zero().lt(input), per_k, R::zero());
        let slope_per_k = R::select(input.lt(R::one()), below, R::zero());
        Self { value, slope_per_k }
    }
}

/// A heater.
#[derive(Clone, Copy, Debug)]
pub struct HeaterModel<R> {
    /// Full output.
    pub output_w: R,
    /// Electric draw at full output.
    pub electric_w: R,
    /// Offset of its set point.
    pub offset_k: R,
    /// Band.
    pub band_k: R,
    /// Share of the output given to the air.
    pub convective_share: R,
    /// Water given to the air, kg/J.
    pub water_kg_j: R,
}

impl<R: Real> HeaterModel<R> {
    /// Heat to the air at full output: the convective part and that of its fan.
    #[inline(always)]
    pub fn to_air_w(&self) -> R {
        self.output_w * self.convective_share + self.electric_w
    }

    /// Share of full output at an air temperature.
    #[inline(always)]
    pub fn share(&self, set_k: R, air_k: R) -> Share<R> {
        let per_k = R::one() / self.band_k;
        Share::of((set_k + self.offset_k - air_k) * per_k + 0.5, -per_k)
    }
}

/// Everything that steers the house air.
#[derive(Clone, Debug)]
pub struct Plant<R> {
    /// Heaters.
    pub heaters: Vec<HeaterModel<R>>,
    vent_area_m2: R,
    vent_discharge: R,
    vent_wind: R,
    vent_stack_m: R,
    vent_band_k: R,
    fan_flow_m3_s: R,
    /// Electric draw of the vent fans at full opening.
    pub fan_electric_w: R,
    cooler_w: R,
    cooler_band_k: R,
    leak_area_cm2: R,
    leak_stack: R,
    leak_wind: R,
    /// Doors that stand open.
    pub(crate) doors: Vec<Door>,
}

impl<R: Real> Plant<R> {
    /// Gathers the plant of houses of one layout, one in each lane.
    pub fn new(houses: &[&House]) -> Self {
        let gather = |value: &dyn Fn(&House) -> f64| {
            let mut gathered = R::zero();
            for (lane, house) in houses.iter().enumerate() {
                gathered.set_lane(lane, value(house));
            }
            gathered
        };
        let heater = |index: usize| {
            let of = |value: &dyn Fn(&crate::control::Heater) -> f64| {
                gather(&|h| value(&h.heaters[index]))
            };
            HeaterModel {
                output_w: of(&|h| h.output_w),
                electric_w: of(&|h| h.electric_w),
                offset_k: of(&|h| h.offset_k),
                band_k: of(&|h| h.band_k),
                convective_share: of(&|h| h.convective_share),
                water_kg_j: of(&|h| h.water_kg_j),
            }
        };
        let vent = |value: &dyn Fn(&crate::control::Vents) -> f64, without: f64| {
            gather(&|h| h.vents.as_ref().map_or(without, value))
        };
        let leak = |value: &dyn Fn(f64, f64, f64) -> f64| {
            gather(&|h| match h.leakage {
                Leakage::Area {
                    area_cm2,
                    stack,
                    wind,
                } => value(area_cm2, stack, wind),
                Leakage::AirChange { .. } => value(0.0, 0.0, 0.0),
            })
        };
        Self {
            heaters: (0..houses[0].heaters.len()).map(heater).collect(),
            vent_area_m2: vent(&|v| v.area_m2, 0.0),
            vent_discharge: vent(&|v| v.discharge, 0.6),
            vent_wind: vent(&|v| v.wind, 0.0),
            vent_stack_m: vent(&|v| v.stack_height_m, 1.0),
            vent_band_k: vent(&|v| v.band_k, 1.0),
            fan_flow_m3_s: vent(&|v| v.fan_flow_m3_s, 0.0),
            fan_electric_w: vent(&|v| v.fan_electric_w, 0.0),
            cooler_w: gather(&|h| h.cooler.as_ref().map_or(0.0, |c| c.capacity_w)),
            cooler_band_k: gather(&|h| h.cooler.as_ref().map_or(1.0, |c| c.band_k)),
            leak_area_cm2: leak(&|area, _, _| area),
            leak_stack: leak(&|_, stack, _| stack),
            leak_wind: leak(&|_, _, wind| wind),
            doors: Vec::new(),
        }
    }

    /// Stops the fans, as without power; vents that open by themselves go on.
    pub fn stop_fans(&mut self) {
        self.fan_flow_m3_s = R::zero();
        self.fan_electric_w = R::zero();
    }

    /// The change of air temperature at which heaters and cooler balance the house.
    ///
    /// The rest of the house answers in a straight line: `stiffness change = push` without them.
    /// Their convective heat falls with temperature along straight pieces, so the balance has one
    /// root, and its piece is found by the sign of the balance at each corner. Solved this way a
    /// thermostat of any power and any narrow band never overshoots.
    #[inline(always)]
    pub fn settle_air(&self, stiffness_w_k: R, push_w: R, air_k: R, heat_k: R, cool_k: R) -> R {
        let mut piece = Piece {
            low: R::splat(-1e6),
            high: R::splat(1e6),
        };
        for heater in &self.heaters {
            let centre_k = heat_k + heater.offset_k;
            for half in [-0.5, 0.5] {
                let corner_k = centre_k + heater.band_k * half;
                let heat_w = push_w + self.convective_w(corner_k, heat_k, cool_k).value;
                piece.narrow(corner_k - air_k, heat_w, stiffness_w_k);
            }
        }
        if self.has_cooler() {
            for half in [-0.5, 0.5] {
                let corner_k = cool_k + self.cooler_band_k * half;
                let heat_w = push_w + self.convective_w(corner_k, heat_k, cool_k).value;
                piece.narrow(corner_k - air_k, heat_w, stiffness_w_k);
            }
        }
        // Any point inside the piece gives its line.
        let inside_k = air_k + (piece.low + piece.high) * 0.5;
        let line = self.convective_w(inside_k, heat_k, cool_k);
        let at_zero = line.value - line.slope_per_k * (inside_k - air_k);
        (push_w + at_zero) / (stiffness_w_k - line.slope_per_k)
    }

    /// Convective heat of heaters less cooling at an air temperature, W, and its slope.
    #[inline(always)]
    fn convective_w(&self, air_k: R, heat_k: R, cool_k: R) -> Share<R> {
        let mut sum = Share {
            value: R::zero(),
            slope_per_k: R::zero(),
        };
        for heater in &self.heaters {
            let share = heater.share(heat_k, air_k);
            let full_w = heater.to_air_w();
            sum.value += full_w * share.value;
            sum.slope_per_k += full_w * share.slope_per_k;
        }
        if self.has_cooler() {
            let cooling = self.cooling_w(cool_k, air_k);
            sum.value -= cooling.value;
            sum.slope_per_k -= cooling.slope_per_k;
        }
        sum
    }

    /// Outdoor air that leaks in and comes through open doors, m3/s, at an air temperature.
    #[inline(always)]
    pub fn leak_m3_s(&self, drive: &Drive<R>, air_k: R) -> R {
        let mut flow_m3_s = self.cracks_m3_s(drive, air_k);
        for door in &self.doors {
            let through_m3_s = air_exchange::door_flow(
                door.width_m,
                door.height_m,
                DOOR_DISCHARGE,
                air_k - drive.air_k,
                (air_k + drive.air_k) * 0.5,
                drive.wind_m_s,
            );
            flow_m3_s += through_m3_s * door.mixing_share;
        }
        flow_m3_s
    }

    #[inline(always)]
    fn cracks_m3_s(&self, drive: &Drive<R>, air_k: R) -> R {
        air_exchange::leak_flow_sherman_grimsrud1980(
            self.leak_area_cm2,
            self.leak_stack,
            self.leak_wind,
            air_k - drive.air_k,
            drive.wind_m_s,
        )
    }

    /// Outdoor air through fully open vents and fans, m3/s.
    #[inline(always)]
    pub fn open_vents_m3_s(&self, drive: &Drive<R>, air_k: R) -> R {
        self.fan_flow_m3_s
            + air_exchange::opening_flow_boulard_baille1995(
                self.vent_area_m2,
                self.vent_discharge,
                self.vent_wind,
                self.vent_stack_m,
                air_k - drive.air_k,
                drive.air_k,
                drive.wind_m_s,
            )
    }

    /// Opening of the vents.
    #[inline(always)]
    pub fn vent_share(&self, set_k: R, air_k: R) -> Share<R> {
        let per_k = R::one() / self.vent_band_k;
        Share::of((air_k - set_k) * per_k, per_k)
    }

    /// Heat the cooler removes at the linearisation point, W, and its slope.
    #[inline(always)]
    pub fn cooling_w(&self, set_k: R, air_k: R) -> Share<R> {
        let per_k = R::one() / self.cooler_band_k;
        let share = Share::of((air_k - set_k) * per_k + 0.5, per_k);
        Share {
            value: share.value * self.cooler_w,
            slope_per_k: share.slope_per_k * self.cooler_w,
        }
    }

    /// True if some lane has vents or fans.
    #[inline(always)]
    pub fn has_vents(&self) -> bool {
        R::any(R::zero().lt(self.vent_area_m2 + self.fan_flow_m3_s))
    }

    /// True if some lane has a cooler.
    #[inline(always)]
    pub fn has_cooler(&self) -> bool {
        R::any(R::zero().lt(self.cooler_w))
    }
}

/// Changes of air temperature between which the balance has its root.
struct Piece<R> {
    low: R,
    high: R,
}

impl<R: Real> Piece<R> {
    /// Narrowed at a change at which the house gets `heat_w`.
    #[inline(always)]
    fn narrow(&mut self, change: R, heat_w: R, stiffness_w_k: R) {
        let too_warm = heat_w.lt(stiffness_w_k * change);
        self.high = R::select(too_warm, self.high.min(change), self.high);
        self.low = R::select(too_warm, self.low, self.low.max(change));
    }
}

#[cfg(test)]
mod tests {
    use super::{HeaterModel, Plant};

    /// The set point of the heaters and of the cooler in these tests.
    const HEAT_K: f64 = 280.0;
    const COOL_K: f64 = 300.0;

    fn heater(output_w: f64, offset_k: f64) -> HeaterModel<f64> {
        HeaterModel {
            output_w,
            electric_w: 0.0,
            offset_k,
            band_k: 1.0,
            convective_share: 1.0,
            water_kg_j: 0.0,
        }
    }

    fn plant(heaters: Vec<HeaterModel<f64>>, cooler_w: f64) -> Plant<f64> {
        Plant {
            heaters,
            vent_area_m2: 0.0,
            vent_discharge: 0.6,
            vent_wind: 0.0,
            vent_stack_m: 1.0,
            vent_band_k: 1.0,
            fan_flow_m3_s: 0.0,
            fan_electric_w: 0.0,
            cooler_w,
            cooler_band_k: 0.1,
            leak_area_cm2: 0.0,
            leak_stack: 0.0,
            leak_wind: 0.0,
            doors: Vec::new(),
        }
    }

    /// Air temperature where `free_k` is what the house would take without heat.
    fn settled_k(plant: &Plant<f64>, stiffness_w_k: f64, free_k: f64) -> f64 {
        let air_k = 285.0;
        let push_w = stiffness_w_k * (free_k - air_k);
        air_k + plant.settle_air(stiffness_w_k, push_w, air_k, HEAT_K, COOL_K)
    }

    #[test]
    fn a_warm_house_is_left_alone() {
        let plant = plant(vec![heater(10e3, 0.0)], 5e3);
        assert!((settled_k(&plant, 500.0, 290.0) - 290.0).abs() < 1e-9);
    }

    #[test]
    fn a_heater_in_its_band_meets_the_loss() {
        // By hand: 500 (T - 275) = 10,000 (280.5 - T) gives T = 2,942,500 / 10,500.
        let plant = plant(vec![heater(10e3, 0.0)], 0.0);
        assert!((settled_k(&plant, 500.0, 275.0) - 2_942_500.0 / 10_500.0).abs() < 1e-9);
    }

    #[test]
    fn a_small_heater_gives_all_it_has() {
        // 2,000 W into 500 W/K: 4 K above 260 K, below the band.
        let plant = plant(vec![heater(2e3, 0.0)], 0.0);
        assert!((settled_k(&plant, 500.0, 260.0) - 264.0).abs() < 1e-9);
    }

    #[test]
    fn a_second_stage_comes_in_below_the_first() {
        // First full (2,000 W), second in its band around 278 K:
        // 500 (T - 270) = 2,000 + 4,000 (278.5 - T) gives T = 1,251,000 / 4,500.
        let plant = plant(vec![heater(2e3, 0.0), heater(4e3, -2.0)], 0.0);
        assert!((settled_k(&plant, 500.0, 270.0) - 1_251_000.0 / 4500.0).abs() < 1e-9);
    }

    #[test]
    fn a_strong_heater_and_a_strong_cooler_do_not_fight() {
        let plant = plant(vec![heater(1e6, 0.0)], 1e6);
        let cold_k = settled_k(&plant, 100.0, 200.0);
        let hot_k = settled_k(&plant, 100.0, 400.0);
        assert!((cold_k - HEAT_K).abs() < 0.51, "{cold_k}");
        assert!((hot_k - COOL_K).abs() < 0.051, "{hot_k}");
        assert!((settled_k(&plant, 100.0, 290.0) - 290.0).abs() < 1e-9);
    }
}
