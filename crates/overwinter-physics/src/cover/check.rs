//! What a cover must satisfy before it is solved.

use super::{
    CoverConditions, CoverLayer, CoverSpace, InsideConvection, MAX_COVER_LAYERS, OutsideConvection,
};
use crate::error::PhysicsError;

/// Refuses layers, spaces and conditions that no solution exists for.
pub(super) fn check(
    layers: &[CoverLayer],
    spaces: &[CoverSpace],
    conditions: &CoverConditions,
) -> Result<(), PhysicsError> {
    if layers.is_empty() || layers.len() > MAX_COVER_LAYERS {
        return Err(PhysicsError::LayerCount {
            found: layers.len(),
            most: MAX_COVER_LAYERS,
        });
    }
    if spaces.len() + 1 != layers.len() {
        return Err(PhysicsError::SpaceCount {
            layers: layers.len(),
            spaces: spaces.len(),
        });
    }
    for (index, layer) in layers.iter().enumerate() {
        check_layer(index + 1, layer)?;
    }
    for (index, space) in spaces.iter().enumerate() {
        check_space(index + 1, space)?;
    }
    check_conditions(conditions)
}

fn check_layer(layer: usize, properties: &CoverLayer) -> Result<(), PhysicsError> {
    let longwave = properties.longwave;
    let absorbed_least = longwave.lower_emissivity.min(longwave.upper_emissivity);
    let values = [
        ("longwave transmittance", longwave.transmittance, 0.0, 1.0),
        (
            "lower longwave reflectance",
            longwave.lower_reflectance,
            0.0,
            1.0,
        ),
        (
            "upper longwave reflectance",
            longwave.upper_reflectance,
            0.0,
            1.0,
        ),
        // A layer that absorbs nothing has no temperature of its own.
        ("longwave emissivity", absorbed_least, 1e-3, 1.0),
        ("wet share", properties.wet_share, 0.0, 1.0),
        (
            "resistance in m2 K/W",
            properties.resistance_m2k_w,
            0.0,
            100.0,
        ),
    ];
    for (what, value, low, high) in values {
        if !(low..=high).contains(&value) {
            return Err(PhysicsError::Layer {
                layer,
                what,
                value,
                low,
                high,
            });
        }
    }
    Ok(())
}

fn check_space(space: usize, properties: &CoverSpace) -> Result<(), PhysicsError> {
    let refuse_outside = |what, value: f64, low, high| {
        if (low..=high).contains(&value) {
            Ok(())
        } else {
            Err(PhysicsError::Space {
                space,
                what,
                value,
                low,
                high,
            })
        }
    };
    match *properties {
        CoverSpace::StillAir {
            gap_m,
            bridge_w_m2k,
        }
        | CoverSpace::StillGas {
            gap_m,
            bridge_w_m2k,
            ..
        } => {
            refuse_outside("gap in m", gap_m, 1e-4, 5.0)?;
            refuse_outside("bridge in W/m2 K", bridge_w_m2k, 0.0, 1000.0)
        }
        CoverSpace::Gas { gap_m, .. } => refuse_outside("gap in m", gap_m, 1e-4, 5.0),
        CoverSpace::Conductance(value) => refuse_outside("conductance in W/m2 K", value, 0.0, 1e5),
    }
}

fn check_conditions(conditions: &CoverConditions) -> Result<(), PhysicsError> {
    let CoverConditions {
        inside, outside, ..
    } = *conditions;
    let inside_value = match inside {
        InsideConvection::Stated(value) | InsideConvection::Fans(value) => value,
        _ => 1.0,
    };
    let outside_value = match outside {
        OutsideConvection::Stated(value) => value,
        _ => 1.0,
    };
    let values = [
        ("inside air in K", conditions.inside_air_k, 200.0, 350.0),
        ("floor in K", conditions.floor_k, 200.0, 350.0),
        ("outside air in K", conditions.outside_air_k, 200.0, 350.0),
        ("sky in K", conditions.sky_k, 100.0, 350.0),
        ("sky share", conditions.sky_share, 0.0, 1.0),
        ("wind in m/s", conditions.wind_m_s, 0.0, 100.0),
        ("tilt in degrees", conditions.tilt_deg, 0.0, 90.0),
        ("height in m", conditions.height_m, 0.01, 100.0),
        ("pressure in Pa", conditions.pressure_pa, 2e4, 1.2e5),
        (
            "floor over cover area",
            conditions.floor_to_cover,
            0.01,
            1.0,
        ),
        ("floor emissivity", conditions.floor_emissivity, 0.01, 1.0),
        ("inside convection", inside_value, 0.0, 1000.0),
        ("outside convection in W/m2 K", outside_value, 0.0, 1000.0),
    ];
    for (what, value, low, high) in values {
        if !(low..=high).contains(&value) {
            return Err(PhysicsError::Condition {
                what,
                value,
                low,
                high,
            });
        }
    }
    Ok(())
}
