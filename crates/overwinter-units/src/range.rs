//! The one table of valid ranges: validation and messages both use it.
//!
//! A range is wide enough for any house that can be built and narrow enough to catch a slip of the
//! unit or of the decimal point. Bounds are engineering estimates unless they follow from the
//! definition of the quantity (shares, angles).

use crate::error::QuantityError;
use crate::kind::Kind;
use crate::print::{System, print, significant};
use crate::quantity::parse;

/// The valid range of one input, in the base unit of its kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// What it is for, in words.
    pub wording: &'static str,
    /// What is measured.
    pub kind: Kind,
    /// Least valid value.
    pub min: f64,
    /// Greatest valid value.
    pub max: f64,
}

impl Range {
    /// Reads `text` as a quantity of the range's kind and checks it against the bounds.
    pub fn parse(&self, text: &str) -> Result<f64, QuantityError> {
        let value = parse(text, self.kind)?;
        if self.contains(value) {
            Ok(value)
        } else {
            Err(self.outside(value, format!("\"{text}\"")))
        }
    }

    /// Checks a value in the base unit.
    pub fn check(&self, value: f64) -> Result<f64, QuantityError> {
        if self.contains(value) {
            Ok(value)
        } else {
            Err(self.outside(value, print(value, self.kind, System::Si)))
        }
    }

    /// True if the value lies in the range; never for NaN.
    pub fn contains(&self, value: f64) -> bool {
        // A hair of slack lets a bound be written in any unit.
        let slack = 1e-9 * (self.max - self.min);
        value >= self.min - slack && value <= self.max + slack
    }

    /// The range in words, in SI and, where it differs, US units.
    pub fn describe(&self) -> String {
        let span = |system| {
            let [least, most] = [self.min, self.max].map(|v| print(v, self.kind, system));
            format!("{least} to {most}")
        };
        let (si, us) = (span(System::Si), span(System::Us));
        if si == us { si } else { format!("{si} ({us})") }
    }

    fn outside(&self, value: f64, written: String) -> QuantityError {
        // A bare 80 for a share is nearly always 80 %.
        let is_percentage = self.kind == Kind::Share && value > 1.0 && self.contains(value / 100.0);
        let hint = if is_percentage {
            format!("; did you mean \"{} %\"?", significant(value, 6))
        } else {
            String::new()
        };
        QuantityError::OutOfRange {
            value: written,
            wording: self.wording,
            range: self.describe() + &hint,
        }
    }
}

macro_rules! ranges {
    ($($name:ident: $wording:literal, $kind:ident, $min:expr, $max:expr;)*) => {
        $(
            #[doc = concat!("Range of the ", $wording, ".")]
            pub const $name: Range = Range {
                wording: $wording,
                kind: Kind::$kind,
                min: $min,
                max: $max,
            };
        )*
        /// Every range, in table order.
        pub const RANGES: &[Range] = &[$($name),*];
    };
}

const ZERO_C_K: f64 = 273.15;
const INFINITE: f64 = 1e12;

ranges! {
    HOUSE_WIDTH: "house width", Length, 1.0, 200.0;
    HOUSE_LENGTH: "house length", Length, 1.0, 1000.0;
    SIDE_HEIGHT: "side height", Length, 0.0, 15.0;
    RIDGE_HEIGHT: "ridge height", Length, 0.5, 40.0;
    HOUSE_VOLUME: "air volume", Volume, 1.0, 1e6;
    DIRECTION: "direction", Angle, -360.0, 360.0;
    TILT: "tilt", Angle, 0.0, 180.0;
    FRAME_SHADE: "frame shade", Share, 0.0, 0.6;
    WIND_SHARE: "share of the 10 m wind", Share, 0.0, 1.5;
    REFLECTANCE: "reflectance", Share, 0.0, 1.0;
    TRANSMITTANCE: "transmittance", Share, 0.0, 1.0;
    ABSORPTANCE: "absorptance", Share, 0.0, 1.0;
    EMISSIVITY: "emissivity", Share, 0.0, 1.0;
    SHARE: "share", Share, 0.0, 1.0;
    LIGHT_KEPT: "share of light kept", Share, 0.05, 1.0;
    REFRACTIVE_INDEX: "refractive index", Number, 1.0, 3.0;
    EXTINCTION_THICKNESS: "extinction times thickness", Number, 0.0, 5.0;
    LONGWAVE_TIMES: "longwave radiation let through against the figures", Number, 0.0, 2.0;
    LAYER_THICKNESS: "layer thickness", Length, 1e-6, 0.1;
    LAYER_HEAT: "heat capacity of a layer", ArealHeat, 0.0, 1e6;
    GAP: "gap between layers", Length, 5e-4, 2.0;
    BRIDGE: "conductance beside the gap", Conductance, 0.0, 50.0;
    GAP_FLOW: "air flow through the gap", Flow, 0.0, 10.0;
    GAP_FLOW_PER_AREA: "air flow through the gap per area", FlowPerArea, 0.0, 0.01;
    GAP_PRESSURE: "pressure between the films", Pressure, 5.0, 300.0;
    FILM_THICKNESS: "film thickness", Length, 2e-5, 2e-3;
    COVER_SHARE: "share of a part of the cover", Share, 0.001, 1.0;
    BLOWER_SHUT_OFF: "shut-off pressure of a blower", Pressure, 10.0, 1e4;
    BLOWER_FLOW: "free flow of a blower", Flow, 1e-4, 100.0;
    BLOWER_BEND: "bend of a blower curve", Number, 1.0, 4.0;
    INLET_DIAMETER: "diameter of an inlet or damper", Length, 2e-3, 3.0;
    VOLTS: "volts on the plate", Number, 1.0, 1000.0;
    AMPS: "amps on the plate", Number, 1e-3, 100.0;
    POWER_FACTOR: "power factor", Share, 0.01, 1.0;
    HOSE_DIAMETER: "hose diameter", Length, 5e-3, 2.0;
    HOSE_LENGTH: "hose length", Length, 0.0, 100.0;
    HOSE_BENDS: "number of right-angle bends", Number, 0.0, 50.0;
    HOSE_COUNT: "number of hoses side by side", Number, 1.0, 1000.0;
    HOLE_COUNT: "number of exhaust holes", Number, 1.0, 1000.0;
    HOLE_DIAMETER: "diameter of an exhaust hole", Length, 5e-4, 0.5;
    TOUCHING_BELOW: "mean gap below which films touch", Length, 1e-3, 0.2;
    TOUCHING_CONDUCTANCE: "conductance of films that touch", Conductance, 1.0, 500.0;
    FLAPPING_CONDUCTANCE: "conductance of a slack gap that flaps", Conductance, 0.1, 100.0;
    LEAK_TIMES: "leaks of the gap against what is stated", Number, 0.05, 20.0;
    WATER_FILM: "water on a face", ArealMass, 1e-4, 2.0;
    SOLID_THICKNESS: "thickness of a solid", Length, 1e-4, 10.0;
    CONDUCTIVITY: "conductivity", Conductivity, 0.005, 500.0;
    VOLUMETRIC_HEAT: "heat capacity per volume", VolumetricHeat, 0.0, 2e7;
    DENSITY: "density", Density, 0.0, 20_000.0;
    SOLID_WATER: "water in a solid, share of volume", Share, 0.0, 0.7;
    SPECIFIC_HEAT: "specific heat", SpecificHeat, 0.0, 10_000.0;
    R_VALUE: "R-value", Resistance, 0.0, 50.0;
    U_VALUE: "U-value", Conductance, 0.01, 100.0;
    CLAIMED_R: "claimed R-value", Resistance, 0.01, 50.0;
    PART_AREA: "area of a part", Area, 1e-3, 1e6;
    PART_HEIGHT: "height of a part", Length, 0.01, 40.0;
    SHADE_DEPTH: "depth of a shade", Length, 0.0, 20.0;
    SHADE_DISTANCE: "distance of a shade from the window", Length, 0.0, 20.0;
    LEAK_AREA: "leak area", Area, 0.0, 20.0;
    LEAK_PER_COVER: "leak area in cm2 per m2 of cover", Number, 0.0, 500.0;
    STACK_COEFFICIENT: "stack coefficient in (L/s)2/(cm4 K)", Number, 0.0, 0.01;
    WIND_COEFFICIENT: "wind coefficient in (L/s)2/(cm4 (m/s)2)", Number, 0.0, 0.01;
    AIR_CHANGE: "air change rate", AirChange, 0.0, 200.0;
    AIR_FLOW: "air flow", Flow, 0.0, 2000.0;
    AIR_SPEED: "air speed", Speed, 0.0, 5.0;
    ELECTRIC_POWER: "electric power", Power, 0.0, 1e7;
    HEAT_OUTPUT: "heat output", Power, 0.0, INFINITE;
    COOLING_CAPACITY: "cooling capacity", Power, 0.0, INFINITE;
    GAIN: "internal gain", Power, 0.0, 1e8;
    HOUSE_AIR: "house air", Temperature, ZERO_C_K - 40.0, ZERO_C_K + 60.0;
    OUTDOOR_AIR: "outdoor air", Temperature, ZERO_C_K - 70.0, ZERO_C_K + 50.0;
    WARMER: "shift of the outdoor air", TemperatureDifference, -15.0, 15.0;
    COLDEST_HOUR: "coldest hour outdoors", Temperature, ZERO_C_K - 70.0, ZERO_C_K + 30.0;
    CLOUDIER_NIGHTS: "share by which nights are cloudier", Share, -1.0, 1.0;
    SKY_BELOW_AIR: "sky below the outdoor air", TemperatureDifference, 0.0, 60.0;
    WIND: "wind at the cover", Speed, 0.0, 60.0;
    COVER_TILT: "tilt of a cover", Angle, 0.0, 90.0;
    SET_POINT: "set point", Temperature, ZERO_C_K - 40.0, ZERO_C_K + 80.0;
    GROUND_TEMPERATURE: "ground temperature", Temperature, ZERO_C_K - 40.0, ZERO_C_K + 50.0;
    GROUND_SWING: "yearly swing of the ground temperature", TemperatureDifference, 0.0, 40.0;
    DAY_OF_YEAR: "day of the year", Number, 0.0, 365.0;
    FROST_LIMIT: "temperature limit", Temperature, ZERO_C_K - 60.0, ZERO_C_K + 40.0;
    FROST_LAG: "time below a limit before harm", Time, 0.0, 30.0 * 86_400.0;
    INTERRUPTION: "mean length of an interruption", Time, 0.0, 30.0 * 86_400.0;
    DOSE_SLOPE: "slope of the damage curve per K", Number, 0.05, 20.0;
    OFFSET: "offset of a set point", TemperatureDifference, -40.0, 40.0;
    THERMOSTAT_ERROR: "error of the thermostat", TemperatureDifference, -10.0, 10.0;
    BAND: "control band", TemperatureDifference, 0.01, 30.0;
    EFFICIENCY: "efficiency", Share, 0.05, 8.0;
    WATER_PER_HEAT: "water made per heat", MassPerEnergy, 0.0, 1e-6;
    SCREEN_LIGHT: "light at which a screen closes", PowerPerArea, 0.0, 1500.0;
    SCREEN_LEAK: "leakage of a closed screen in m3/(s m2 K^0.66)", Number, 0.0, 0.1;
    LEAF_AREA_INDEX: "leaf area index", Number, 0.01, 15.0;
    CROP_FLOOR_SHARE: "share of the floor with crop", Share, 0.01, 1.0;
    CANOPY_EXTINCTION: "extinction of light in the canopy", Number, 0.05, 2.0;
    CROP_HEAT: "heat capacity of the crop", ArealHeat, 100.0, 1e6;
    LEAF_RESISTANCE: "resistance of a leaf", LeafResistance, 1.0, 1e6;
    WATER_VOLUME: "volume of stored water", Volume, 1e-4, 1e5;
    MASS_HEAT: "heat capacity of stored mass", HeatCapacity, 1.0, INFINITE;
    SURFACE_COEFFICIENT: "surface coefficient", Conductance, 0.01, 1000.0;
    VENT_AREA: "area of the vents", Area, 0.0, 1e5;
    STACK_HEIGHT: "height between openings", Length, 0.0, 40.0;
    DISCHARGE: "discharge coefficient", Number, 0.05, 1.0;
    WIND_EFFECT: "wind effect coefficient", Number, 0.0, 1.0;
    WALL_THICKNESS: "thickness of the wall around the floor", Length, 0.01, 2.0;
    STRIP_WIDTH: "width of the edge strip", Length, 0.1, 5.0;
    INSULATION_DEPTH: "depth of the edge insulation", Length, 0.05, 3.0;
    GROUND_DEPTH: "depth of the ground column", Length, 0.5, 20.0;
    RAMP: "duration of a ramp", Time, 0.0, 86_400.0;
    EVENT_LENGTH: "length of an event", Time, 0.0, 8760.0 * 3600.0;
    OUTAGE_LENGTH: "length of a failure", Time, 3600.0, 30.0 * 86_400.0;
    TRAVEL: "time from the alarm until help runs", Time, 0.0, 3.0 * 86_400.0;
    GENERATOR_OUTPUT: "output of a generator", Power, 10.0, 1e7;
    GENERATOR_START: "time until a generator carries its load", Time, 0.0, 3.0 * 86_400.0;
    STARTING_TIMES: "draw of a starting motor against running", Number, 1.0, 10.0;
    DOOR_SIZE: "width or height of a door", Length, 0.3, 20.0;
    TEAR_AREA: "open area of a tear", Area, 1e-4, 1e4;
    RANGE_COUNT: "number of values", Number, 2.0, 10_000.0;
    DRAWS: "number of draws", Number, 1.0, 200_000.0;
    SPREAD_FACTOR: "factor either way of the median", Number, 1.0, 100.0;
    SEED: "seed", Number, 0.0, 9_007_199_254_740_992.0;
    FUEL_ENERGY: "heat content of a unit of fuel", Energy, 1e5, 1e12;
    CARBON_DIOXIDE: "carbon dioxide per heat content", MassPerEnergy, 0.0, 1e-6;
    METHANE: "methane per heat content", MassPerEnergy, 0.0, 1e-8;
    NITROUS_OXIDE: "nitrous oxide per heat content", MassPerEnergy, 0.0, 1e-9;
    STUDY_YEARS: "study period in years", Number, 1.0, 100.0;
    LIFE_YEARS: "life of a part in years", Number, 1.0, 100.0;
    AGE_YEARS: "age of a part in years", Number, 0.0, 99.0;
    LOAN_YEARS: "length of a loan in years", Number, 1.0, 100.0;
    RATE: "rate a year", Share, -0.5, 1.0;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_range_is_ordered_and_finite() {
        for range in RANGES {
            assert!(range.min < range.max, "{}", range.wording);
            assert!(range.min.is_finite() && range.max.is_finite());
        }
    }

    #[test]
    fn both_bounds_can_be_written_in_either_system() {
        for range in RANGES {
            for value in [range.min, range.max] {
                assert!(range.check(value).is_ok(), "{}", range.wording);
            }
            assert!(range.check(f64::NAN).is_err(), "{}", range.wording);
        }
        assert!(FRAME_SHADE.parse("60 %").is_ok());
    }

    #[test]
    fn a_percentage_without_its_sign_is_suspected() {
        for error in [EFFICIENCY.check(80.0), EFFICIENCY.parse("80")] {
            let message = error.expect_err("8000 %").to_string();
            assert!(message.ends_with("did you mean \"80 %\"?"), "{message}");
        }
    }

    #[test]
    fn a_value_outside_names_value_and_range() {
        let error = HOUSE_WIDTH.parse("1 ft").expect_err("too narrow");
        assert_eq!(
            error.to_string(),
            "\"1 ft\" is outside the range of house width: 1 m to 200 m (3.28 ft to 656 ft)"
        );
    }
}
