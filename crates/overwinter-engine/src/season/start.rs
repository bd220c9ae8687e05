//! What a season starts from: houses that fit the engine, and a first state.

use overwinter_physics::moist_air;
use overwinter_physics::number::Real;
use overwinter_weather::Year;

use crate::account::MOST_HEATERS;
use crate::balance::Conditions;
use crate::error::EngineError;
use crate::house::{House, MAX_LAYERS};
use crate::model::{Carry, DENSITY_AIR_K, FLOOR_IRRADIANCE, Model, SHELL_IRRADIANCE, VAPOUR};

/// Dry air density at the mean pressure of a station and 10 C, kg/m3.
pub fn station_density_kg_m3(year: &Year) -> f64 {
    let mean_pa = year.pressure_pa.iter().sum::<f64>() / year.pressure_pa.len() as f64;
    moist_air::air_density_kg_m3(mean_pa, DENSITY_AIR_K)
}

pub(super) fn check_count(
    what: &'static str,
    count: usize,
    least: usize,
    most: usize,
) -> Result<(), EngineError> {
    if (least..=most).contains(&count) {
        Ok(())
    } else {
        Err(EngineError::Count {
            what,
            count,
            least,
            most,
        })
    }
}

pub(super) fn check_counts(house: &House) -> Result<(), EngineError> {
    check_count("heaters", house.heaters.len(), 0, MOST_HEATERS)?;
    check_count(
        "cover sections and walls",
        house.sections.len() + house.walls.len(),
        1,
        usize::MAX,
    )?;
    for section in &house.sections {
        check_count("layers of a section", section.layers.len(), 1, MAX_LAYERS)?;
        check_count(
            "spaces between the layers of a section",
            section.spaces.len() + 1,
            section.layers.len(),
            section.layers.len(),
        )?;
    }
    for wall in &house.walls {
        check_count("solids of a wall", wall.solids.len(), 1, usize::MAX)?;
    }
    for column in &house.floor.columns {
        check_count(
            "solids of a floor column",
            column.solids.len(),
            1,
            usize::MAX,
        )?;
        check_count(
            "sideways conductances of a floor column",
            column.sideways_w_m2k.len(),
            column.solids.len(),
            column.solids.len(),
        )?;
    }
    Ok(())
}

/// House and cover at the warmer of hold temperature and outdoors, the ground from there in a
/// straight line to what lies below.
pub(super) fn start_state<R: Real>(model: &Model<R>, conditions: &Conditions<R>) -> Vec<R> {
    let outdoor_k = conditions.drive.air_k;
    let hold_k = conditions.heat_set_k;
    let warm_k = R::select(hold_k.lt(outdoor_k), outdoor_k, hold_k).min(outdoor_k + 20.0);
    let mut start = vec![warm_k; model.size()];
    let emitted = warm_k.squared().squared() * overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;
    start[SHELL_IRRADIANCE] = emitted;
    start[FLOOR_IRRADIANCE] = emitted;
    start[VAPOUR] = conditions.drive.vapour_kg_m3;
    for section in &model.sections {
        for local in 0..section.size {
            if model.carry[section.offset + local] == Carry::Water {
                start[section.offset + local] = conditions.drive.vapour_kg_m3;
            }
        }
    }
    for (column, below_k) in model.columns.iter().zip(conditions.below_k) {
        let count = column.chain.conductance_w_k.len();
        for node in 1..=count {
            let share = node as f64 / count as f64;
            start[column.offset + node - 1] = warm_k * (1.0 - share) + below_k * share;
        }
    }
    start
}
