//! The season of a house by a general stiff solver, on the same right-hand side as the steps.

use std::cell::RefCell;

use diffsol::{NalgebraLU, NalgebraMat, OdeBuilder, OdeSolverMethod, OdeSolverStopReason, Vector};
use overwinter_engine::balance::Conditions;
use overwinter_engine::drive::Drive;
use overwinter_engine::model::Carry;
use overwinter_engine::season::Season;
use overwinter_engine::step::{State, Stepper};

/// The two irradiances have no store: they follow from the rest.
const WITHOUT_STORE: usize = 2;
/// Absolute tolerances at a relative one of 1e-8: temperatures K, vapour kg/m3, water kg/m2, heat MJ.
const TOLERANCE_K: f64 = 1e-6;
const TOLERANCE_KG_M3: f64 = 1e-10;
const TOLERANCE_KG_M2: f64 = 1e-8;
const TOLERANCE_MJ: f64 = 1e-5;
const TIGHT: f64 = 1e-8;
/// Sizes by which the unknowns are moved for a difference quotient, times [`NUDGE`].
const NUDGE: f64 = 1e-6;
const NUDGE_SIZES: [f64; 4] = [1.0, 1e-3, 1e-2, 1.0];
const HALF_HOUR_S: f64 = 1800.0;

/// What the solver found at the end of each hour.
#[derive(Clone, Debug, Default)]
pub(crate) struct Course {
    /// All unknowns of the engine's state.
    pub(crate) unknowns: Vec<Vec<f64>>,
    /// Heat of the hour from all heaters, MJ.
    pub(crate) heat_mj: Vec<f64>,
    /// Evaluations of the right-hand side.
    pub(crate) evaluations: usize,
}

/// Which tolerance an entry of the solver's vector has.
#[derive(Clone, Copy)]
enum Kind {
    Temperature,
    Vapour,
    Water,
    Heat,
}

struct RightHandSide<'s> {
    stepper: &'s mut Stepper<f64>,
    start: Conditions<f64>,
    end: Conditions<f64>,
    now: Conditions<f64>,
    rates: Vec<f64>,
    /// The point and the rates there, from which difference quotients start.
    base: Option<(Vec<f64>, f64, Vec<f64>)>,
    evaluations: usize,
}

impl RightHandSide<'_> {
    fn eval(&mut self, values: &[f64], time_s: f64, rates: &mut [f64]) {
        self.evaluations += 1;
        between(&mut self.now, &self.start, &self.end, time_s / HALF_HOUR_S);
        put(self.stepper, values);
        self.stepper.rates(&self.now, &mut self.rates);
        let without_heat = rates.len() - 1;
        rates[..without_heat].copy_from_slice(&self.rates[WITHOUT_STORE..]);
        let stepper = &self.stepper;
        let heat_w: f64 = stepper
            .plant
            .heaters
            .iter()
            .zip(&stepper.room().fluxes.heaters)
            .map(|(heater, share)| heater.output_w * share.value)
            .sum();
        rates[without_heat] = heat_w * 1e-6;
    }

    fn along(&mut self, values: &[f64], time_s: f64, sizes: &[f64], v: &[f64], out: &mut [f64]) {
        let known = self
            .base
            .as_ref()
            .is_some_and(|(at, t, _)| at == values && t.to_bits() == time_s.to_bits());
        if !known {
            let mut rates = vec![0.0; values.len()];
            self.eval(values, time_s, &mut rates);
            self.base = Some((values.to_vec(), time_s, rates));
        }
        let largest = v
            .iter()
            .zip(sizes)
            .map(|(v, size)| v.abs() / size)
            .fold(0.0, f64::max);
        if largest == 0.0 {
            out.fill(0.0);
            return;
        }
        let nudge = NUDGE / largest;
        let moved: Vec<f64> = values.iter().zip(v).map(|(x, v)| x + nudge * v).collect();
        self.eval(&moved, time_s, out);
        if let Some((_, _, rates)) = &self.base {
            for (out, base) in out.iter_mut().zip(rates) {
                *out = (*out - base) / nudge;
            }
        }
    }
}

/// Follows a season from the state it is in, through hours `from` to `to`.
///
/// The solver starts anew at every half hour, since the sun has its kinks there.
pub(crate) fn follow(
    season: &mut Season<'_, f64>,
    from: usize,
    to: usize,
    tolerance: f64,
) -> Course {
    let mut course = Course::default();
    let kinds = kinds(season.stepper());
    let mut values = take(season.stepper());
    for hour in from..to {
        // Taken together, since the engine holds the light lost to water on the films through the
        // hour.
        let knots = [0.0, 0.5, 1.0].map(|share| season.conditions_at(hour, share).clone());
        if let Some(heat) = values.last_mut() {
            *heat = 0.0;
        }
        for ends in knots.windows(2) {
            let mut side = RightHandSide {
                rates: vec![0.0; values.len() - 1 + WITHOUT_STORE],
                now: ends[0].clone(),
                stepper: season.stepper(),
                start: ends[0].clone(),
                end: ends[1].clone(),
                base: None,
                evaluations: 0,
            };
            values = half_hour(&mut side, &values, &kinds, tolerance)
                .unwrap_or_else(|error| panic!("hour {hour}: {error}"));
            course.evaluations += side.evaluations;
        }
        let stepper = season.stepper();
        put(stepper, &values);
        course.unknowns.push(stepper.state.now.clone());
        course.heat_mj.push(values[values.len() - 1]);
    }
    course
}

fn half_hour(
    side: &mut RightHandSide<'_>,
    start: &[f64],
    kinds: &[Kind],
    tolerance: f64,
) -> Result<Vec<f64>, diffsol::error::DiffsolError> {
    let looser = tolerance / TIGHT;
    let absolute = kinds.iter().map(|kind| {
        looser
            * match kind {
                Kind::Temperature => TOLERANCE_K,
                Kind::Vapour => TOLERANCE_KG_M3,
                Kind::Water => TOLERANCE_KG_M2,
                Kind::Heat => TOLERANCE_MJ,
            }
    });
    let sizes: Vec<f64> = kinds.iter().map(|k| NUDGE_SIZES[*k as usize]).collect();
    let side = RefCell::new(side);
    let problem = OdeBuilder::<NalgebraMat<f64>>::new()
        .rtol(tolerance)
        .atol(absolute)
        .h0(1.0)
        .rhs_implicit(
            |x, _p, t, y| side.borrow_mut().eval(x, t, y),
            |x, _p, t, v, y| side.borrow_mut().along(x, t, &sizes, v, y),
        )
        .init(|_p, _t, y| y.copy_from_slice(start), start.len())
        .build()?;
    let mut solver = problem.bdf::<NalgebraLU<f64>>()?;
    solver.set_stop_time(HALF_HOUR_S)?;
    while !matches!(solver.step()?, OdeSolverStopReason::TstopReached) {}
    Ok(solver.state().y.clone_as_vec())
}

/// Straight between the two ends of half an hour, as the sun and every drive and setting is.
fn between(now: &mut Conditions<f64>, start: &Conditions<f64>, end: &Conditions<f64>, share: f64) {
    let mix = |a: f64, b: f64| a + (b - a) * share;
    let (a, b) = (&start.drive, &end.drive);
    now.drive = Drive {
        air_k: mix(a.air_k, b.air_k),
        vapour_kg_m3: mix(a.vapour_kg_m3, b.vapour_kg_m3),
        wind_m_s: mix(a.wind_m_s, b.wind_m_s),
        sky_longwave_w_m2: mix(a.sky_longwave_w_m2, b.sky_longwave_w_m2),
        ground_longwave_w_m2: mix(a.ground_longwave_w_m2, b.ground_longwave_w_m2),
        cover_coefficient_w_m2k: mix(a.cover_coefficient_w_m2k, b.cover_coefficient_w_m2k),
        wall_coefficient_w_m2k: mix(a.wall_coefficient_w_m2k, b.wall_coefficient_w_m2k),
    };
    now.heat_set_k = mix(start.heat_set_k, end.heat_set_k);
    now.vent_set_k = mix(start.vent_set_k, end.vent_set_k);
    now.cool_set_k = mix(start.cool_set_k, end.cool_set_k);
    now.convective_gain_w = mix(start.convective_gain_w, end.convective_gain_w);
    now.radiant_gain_w = mix(start.radiant_gain_w, end.radiant_gain_w);
    now.ventilation_m3_s = mix(start.ventilation_m3_s, end.ventilation_m3_s);
    now.air_change_m3_s = mix(start.air_change_m3_s, end.air_change_m3_s);
    let (a, b) = (&start.sun, &end.sun);
    let sun = &mut now.sun;
    for (section, layers) in sun.absorbed_w.iter_mut().enumerate() {
        for (layer, heat_w) in layers.iter_mut().enumerate() {
            *heat_w = mix(a.absorbed_w[section][layer], b.absorbed_w[section][layer]);
        }
    }
    for wall in 0..sun.wall_inside_w.len() {
        sun.wall_inside_w[wall] = mix(a.wall_inside_w[wall], b.wall_inside_w[wall]);
        sun.wall_outside_w[wall] = mix(a.wall_outside_w[wall], b.wall_outside_w[wall]);
    }
    for column in 0..2 {
        sun.floor_w[column] = mix(a.floor_w[column], b.floor_w[column]);
    }
    sun.leaf_w = mix(a.leaf_w, b.leaf_w);
    sun.mass_w = mix(a.mass_w, b.mass_w);
    sun.air_w = mix(a.air_w, b.air_w);
}

fn kinds(stepper: &Stepper<f64>) -> Vec<Kind> {
    let model = &stepper.model;
    let unknowns = model.carry[WITHOUT_STORE..]
        .iter()
        .map(|carry| match carry {
            Carry::Heat => Kind::Temperature,
            Carry::Water => Kind::Vapour,
        });
    let water = std::iter::repeat_n(Kind::Water, 2 * model.places);
    unknowns.chain(water).chain([Kind::Heat]).collect()
}

/// The state as the solver's vector; the last entry is the heat of the hour.
fn take(stepper: &Stepper<f64>) -> Vec<f64> {
    let State { now, water, .. } = &stepper.state;
    let water = water.iter().flat_map(|w| [w.liquid_kg_m2, w.ice_kg_m2]);
    now[WITHOUT_STORE..]
        .iter()
        .copied()
        .chain(water)
        .chain([0.0])
        .collect()
}

fn put(stepper: &mut Stepper<f64>, values: &[f64]) {
    let count = stepper.state.now.len() - WITHOUT_STORE;
    stepper.state.now[WITHOUT_STORE..].copy_from_slice(&values[..count]);
    for (held, pair) in stepper
        .state
        .water
        .iter_mut()
        .zip(values[count..].chunks(2))
    {
        held.liquid_kg_m2 = pair[0];
        held.ice_kg_m2 = pair[1];
    }
}
