//! The table of units. Every factor follows from the definitions below, which are exact.
//!
//! # References
//! - Thompson, A. and Taylor, B. N. (2008): Guide for the Use of the International System of Units
//!   (SI), NIST Special Publication 811, Appendix B.8 and B.9 (inch 0.0254 m, pound
//!   0.453 592 37 kg, gallon 231 cubic inches, British thermal unit (International Table)
//!   1055.055 852 62 J, conventional inch of water 249.0889 Pa, horsepower 550 foot pound-force per
//!   second, cord 128 cubic feet).
//! - The therm is taken as 100 000 Btu (International Table). SP 811 also lists a U.S. therm that is
//!   0.024 % smaller; bills do not resolve the difference.

use crate::kind::Kind;

/// A unit of one kind: `base = number * factor + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// How it is printed, and one way to write it.
    pub symbol: &'static str,
    /// What it measures.
    pub kind: Kind,
    /// Base units in one of this unit.
    pub factor: f64,
    /// Base value of zero in this unit; 0 except for temperatures.
    pub offset: f64,
    /// Other ways to write it.
    pub aliases: &'static [&'static str],
}

impl Unit {
    /// Converts a number in this unit to the base unit.
    pub fn to_base(&self, number: f64) -> f64 {
        number * self.factor + self.offset
    }

    /// Converts a value in the base unit to this unit.
    pub fn from_base(&self, value: f64) -> f64 {
        (value - self.offset) / self.factor
    }
}

const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 12.0 * INCH_M;
const FOOT2_M2: f64 = FOOT_M * FOOT_M;
const FOOT3_M3: f64 = FOOT2_M2 * FOOT_M;
const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
const POUND_KG: f64 = 0.453_592_37;
const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;
const POUND_FORCE_N: f64 = POUND_KG * STANDARD_GRAVITY_M_S2;
const BTU_J: f64 = 1_055.055_852_62;
const FAHRENHEIT_K: f64 = 5.0 / 9.0;
const HOUR_S: f64 = 3600.0;
const KWH_J: f64 = 3.6e6;
const MMBTU_J: f64 = 1e6 * BTU_J;
/// Conventional inch of water: 1000 kg/m3 under standard gravity.
const INCH_WATER_PA: f64 = 1000.0 * STANDARD_GRAVITY_M_S2 * INCH_M;
/// Conventional inch of mercury: 13 595.1 kg/m3 under standard gravity.
const INCH_MERCURY_PA: f64 = 13_595.1 * STANDARD_GRAVITY_M_S2 * INCH_M;

const fn unit(
    symbol: &'static str,
    kind: Kind,
    factor: f64,
    aliases: &'static [&'static str],
) -> Unit {
    Unit {
        symbol,
        kind,
        factor,
        offset: 0.0,
        aliases,
    }
}

const fn scale(
    symbol: &'static str,
    factor: f64,
    offset: f64,
    aliases: &'static [&'static str],
) -> Unit {
    Unit {
        symbol,
        kind: Kind::Temperature,
        factor,
        offset,
        aliases,
    }
}

/// All units, by kind. Within a kind the first is the one that examples use in SI.
pub const UNITS: &[Unit] = &[
    unit(
        "m",
        Kind::Length,
        1.0,
        &["metre", "metres", "meter", "meters"],
    ),
    unit("km", Kind::Length, 1000.0, &[]),
    unit("cm", Kind::Length, 0.01, &[]),
    unit("mm", Kind::Length, 0.001, &[]),
    unit("um", Kind::Length, 1e-6, &["micron", "microns"]),
    unit("ft", Kind::Length, FOOT_M, &["foot", "feet", "'"]),
    unit("in", Kind::Length, INCH_M, &["inch", "inches", "\""]),
    unit("mil", Kind::Length, INCH_M / 1000.0, &["mils"]),
    unit("yd", Kind::Length, 3.0 * FOOT_M, &["yard", "yards"]),
    unit("m2", Kind::Area, 1.0, &["sqm"]),
    unit("cm2", Kind::Area, 1e-4, &[]),
    unit("mm2", Kind::Area, 1e-6, &[]),
    unit("ha", Kind::Area, 1e4, &[]),
    unit("ft2", Kind::Area, FOOT2_M2, &["sqft"]),
    unit("in2", Kind::Area, INCH_M * INCH_M, &["sqin"]),
    unit("acre", Kind::Area, 43_560.0 * FOOT2_M2, &["acres"]),
    unit("m3", Kind::Volume, 1.0, &[]),
    unit(
        "L",
        Kind::Volume,
        0.001,
        &["l", "litre", "litres", "liter", "liters"],
    ),
    unit("ft3", Kind::Volume, FOOT3_M3, &["cuft"]),
    unit("gal", Kind::Volume, GALLON_M3, &["gallon", "gallons"]),
    unit("ccf", Kind::Volume, 100.0 * FOOT3_M3, &[]),
    unit("cord", Kind::Volume, 128.0 * FOOT3_M3, &["cords"]),
    scale("degC", 1.0, 273.15, &["C"]),
    scale("degF", FAHRENHEIT_K, 459.67 * FAHRENHEIT_K, &["F"]),
    scale("K", 1.0, 0.0, &[]),
    unit("K", Kind::TemperatureDifference, 1.0, &["degC", "C"]),
    unit("degF", Kind::TemperatureDifference, FAHRENHEIT_K, &["F"]),
    unit("Pa", Kind::Pressure, 1.0, &[]),
    unit("kPa", Kind::Pressure, 1000.0, &[]),
    unit("hPa", Kind::Pressure, 100.0, &["mbar"]),
    unit("inH2O", Kind::Pressure, INCH_WATER_PA, &["inwg", "inwc"]),
    unit(
        "lbf/ft2",
        Kind::Pressure,
        POUND_FORCE_N / FOOT2_M2,
        &["psf"],
    ),
    unit(
        "psi",
        Kind::Pressure,
        POUND_FORCE_N / (INCH_M * INCH_M),
        &[],
    ),
    unit("inHg", Kind::Pressure, INCH_MERCURY_PA, &[]),
    unit("W", Kind::Power, 1.0, &["watt", "watts"]),
    unit("kW", Kind::Power, 1000.0, &[]),
    unit("MW", Kind::Power, 1e6, &[]),
    unit("Btu/h", Kind::Power, BTU_J / HOUR_S, &["Btu/hr"]),
    unit("kBtu/h", Kind::Power, 1000.0 * BTU_J / HOUR_S, &["kBtu/hr"]),
    unit("MMBtu/h", Kind::Power, MMBTU_J / HOUR_S, &["MMBtu/hr"]),
    unit("hp", Kind::Power, 550.0 * FOOT_M * POUND_FORCE_N, &[]),
    unit("kWh", Kind::Energy, KWH_J, &[]),
    unit("Wh", Kind::Energy, HOUR_S, &[]),
    unit("MWh", Kind::Energy, 1000.0 * KWH_J, &[]),
    unit("J", Kind::Energy, 1.0, &[]),
    unit("kJ", Kind::Energy, 1000.0, &[]),
    unit("MJ", Kind::Energy, 1e6, &[]),
    unit("GJ", Kind::Energy, 1e9, &[]),
    unit("Btu", Kind::Energy, BTU_J, &[]),
    unit("kBtu", Kind::Energy, 1000.0 * BTU_J, &[]),
    unit("MMBtu", Kind::Energy, MMBTU_J, &[]),
    unit("therm", Kind::Energy, 1e5 * BTU_J, &["therms"]),
    unit("W/m2", Kind::PowerPerArea, 1.0, &[]),
    unit(
        "Btu/hft2",
        Kind::PowerPerArea,
        BTU_J / (HOUR_S * FOOT2_M2),
        &[],
    ),
    unit("kWh/m2", Kind::EnergyPerArea, KWH_J, &[]),
    unit("MJ/m2", Kind::EnergyPerArea, 1e6, &[]),
    unit("J/m2", Kind::EnergyPerArea, 1.0, &[]),
    unit(
        "kBtu/ft2",
        Kind::EnergyPerArea,
        1000.0 * BTU_J / FOOT2_M2,
        &[],
    ),
    unit("Btu/ft2", Kind::EnergyPerArea, BTU_J / FOOT2_M2, &[]),
    unit("m3/s", Kind::Flow, 1.0, &[]),
    unit("m3/h", Kind::Flow, 1.0 / HOUR_S, &[]),
    unit("L/s", Kind::Flow, 0.001, &["l/s"]),
    unit("cfm", Kind::Flow, FOOT3_M3 / 60.0, &["ft3/min"]),
    unit("m3/sm2", Kind::FlowPerArea, 1.0, &[]),
    unit("m3/hm2", Kind::FlowPerArea, 1.0 / HOUR_S, &[]),
    unit("L/sm2", Kind::FlowPerArea, 0.001, &["l/sm2"]),
    unit("cfm/ft2", Kind::FlowPerArea, FOOT_M / 60.0, &[]),
    unit("m/s", Kind::Speed, 1.0, &[]),
    unit("km/h", Kind::Speed, 1.0 / 3.6, &[]),
    unit("mph", Kind::Speed, 5280.0 * FOOT_M / HOUR_S, &["mi/h"]),
    unit("ft/min", Kind::Speed, FOOT_M / 60.0, &["fpm"]),
    unit("ft/s", Kind::Speed, FOOT_M, &[]),
    unit("deg", Kind::Angle, 1.0, &["degree", "degrees"]),
    unit("rad", Kind::Angle, 180.0 / std::f64::consts::PI, &[]),
    unit("W/m2K", Kind::Conductance, 1.0, &[]),
    unit(
        "Btu/hft2F",
        Kind::Conductance,
        BTU_J / (HOUR_S * FOOT2_M2 * FAHRENHEIT_K),
        &["Btu/hrft2F"],
    ),
    unit("m2K/W", Kind::Resistance, 1.0, &["RSI"]),
    unit(
        "hft2F/Btu",
        Kind::Resistance,
        HOUR_S * FOOT2_M2 * FAHRENHEIT_K / BTU_J,
        &["R", "hrft2F/Btu", "ft2hF/Btu"],
    ),
    unit("W/mK", Kind::Conductivity, 1.0, &[]),
    unit(
        "Btu/hftF",
        Kind::Conductivity,
        BTU_J / (HOUR_S * FOOT_M * FAHRENHEIT_K),
        &[],
    ),
    unit(
        "Btuin/hft2F",
        Kind::Conductivity,
        BTU_J * INCH_M / (HOUR_S * FOOT2_M2 * FAHRENHEIT_K),
        &[],
    ),
    unit("J/kgK", Kind::SpecificHeat, 1.0, &[]),
    unit("kJ/kgK", Kind::SpecificHeat, 1000.0, &[]),
    unit(
        "Btu/lbF",
        Kind::SpecificHeat,
        BTU_J / (POUND_KG * FAHRENHEIT_K),
        &[],
    ),
    unit("MJ/m3K", Kind::VolumetricHeat, 1e6, &[]),
    unit("kJ/m3K", Kind::VolumetricHeat, 1000.0, &[]),
    unit("J/m3K", Kind::VolumetricHeat, 1.0, &[]),
    unit(
        "Btu/ft3F",
        Kind::VolumetricHeat,
        BTU_J / (FOOT3_M3 * FAHRENHEIT_K),
        &[],
    ),
    unit("kJ/m2K", Kind::ArealHeat, 1000.0, &[]),
    unit("J/m2K", Kind::ArealHeat, 1.0, &[]),
    unit(
        "Btu/ft2F",
        Kind::ArealHeat,
        BTU_J / (FOOT2_M2 * FAHRENHEIT_K),
        &[],
    ),
    unit("MJ/K", Kind::HeatCapacity, 1e6, &[]),
    unit("kJ/K", Kind::HeatCapacity, 1000.0, &[]),
    unit("J/K", Kind::HeatCapacity, 1.0, &[]),
    unit("kWh/K", Kind::HeatCapacity, KWH_J, &[]),
    unit("Btu/F", Kind::HeatCapacity, BTU_J / FAHRENHEIT_K, &[]),
    unit("kg/m3", Kind::Density, 1.0, &[]),
    unit("g/cm3", Kind::Density, 1000.0, &[]),
    unit("lb/ft3", Kind::Density, POUND_KG / FOOT3_M3, &[]),
    unit("kg", Kind::Mass, 1.0, &[]),
    unit("g", Kind::Mass, 0.001, &[]),
    unit("t", Kind::Mass, 1000.0, &["tonne", "tonnes"]),
    unit("lb", Kind::Mass, POUND_KG, &["lbs"]),
    unit("ton", Kind::Mass, 2000.0 * POUND_KG, &["tons"]),
    unit("kg/m2", Kind::ArealMass, 1.0, &[]),
    unit("g/m2", Kind::ArealMass, 0.001, &[]),
    unit("lb/ft2", Kind::ArealMass, POUND_KG / FOOT2_M2, &[]),
    unit("kg/MJ", Kind::MassPerEnergy, 1e-6, &[]),
    unit("kg/GJ", Kind::MassPerEnergy, 1e-9, &[]),
    unit("kg/kWh", Kind::MassPerEnergy, 1.0 / KWH_J, &[]),
    unit("kg/MMBtu", Kind::MassPerEnergy, 1.0 / MMBTU_J, &[]),
    unit("lb/MMBtu", Kind::MassPerEnergy, POUND_KG / MMBTU_J, &[]),
    unit("g/GJ", Kind::MassPerEnergy, 1e-12, &["kg/TJ"]),
    unit("g/MMBtu", Kind::MassPerEnergy, 1e-3 / MMBTU_J, &[]),
    unit("g/kWh", Kind::MassPerEnergy, 1e-3 / KWH_J, &["kg/MWh"]),
    unit("lb/MWh", Kind::MassPerEnergy, 1e-3 * POUND_KG / KWH_J, &[]),
    unit("h", Kind::Time, HOUR_S, &["hr", "hour", "hours"]),
    unit("min", Kind::Time, 60.0, &["minute", "minutes"]),
    unit("s", Kind::Time, 1.0, &["sec", "second", "seconds"]),
    unit("d", Kind::Time, 24.0 * HOUR_S, &["day", "days"]),
    unit(
        "/h",
        Kind::AirChange,
        1.0,
        &["/hr", "1/h", "perhour", "ach", "volumes/h"],
    ),
    unit("/m", Kind::PerLength, 1.0, &["1/m"]),
    unit("/mm", Kind::PerLength, 1000.0, &["1/mm"]),
    unit("s/m", Kind::LeafResistance, 1.0, &[]),
    unit("%", Kind::Share, 0.01, &["percent"]),
    unit("", Kind::Share, 1.0, &[]),
    unit("", Kind::Number, 1.0, &[]),
];

/// The unit of `kind` written as `text`, tried letter by letter and then ignoring case.
pub fn find(text: &str, kind: Kind) -> Option<&'static Unit> {
    let text = normalised(text);
    let of_kind = || UNITS.iter().filter(|unit| unit.kind == kind);
    of_kind()
        .find(|unit| names(unit).any(|name| name == text))
        .or_else(|| of_kind().find(|unit| names(unit).any(|n| n.eq_ignore_ascii_case(&text))))
}

/// The first unit of any kind written as `text`.
pub fn find_any(text: &str) -> Option<&'static Unit> {
    Kind::ALL.iter().find_map(|kind| find(text, *kind))
}

/// The symbols of all units of a kind, in table order.
pub fn symbols(kind: Kind) -> Vec<&'static str> {
    UNITS
        .iter()
        .filter(|unit| unit.kind == kind && !unit.symbol.is_empty())
        .map(|unit| unit.symbol)
        .collect()
}

fn names(unit: &'static Unit) -> impl Iterator<Item = &'static str> {
    std::iter::once(unit.symbol).chain(unit.aliases.iter().copied())
}

/// Folds the usual ways to write a compound unit into one: `Btu/(h·ft²·°F)` is `Btu/hft2F`.
fn normalised(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            ' ' | '\t' | '(' | ')' | '*' | '·' | '^' | '-' | '.' => {}
            '²' => folded.push('2'),
            '³' => folded.push('3'),
            'µ' | 'μ' => folded.push('u'),
            '°' => folded.push_str("deg"),
            '″' => folded.push('"'),
            '′' => folded.push('\''),
            other => folded.push(other),
        }
    }
    let is_compound = folded.contains('/');
    if is_compound {
        folded.replace("degF", "F").replace("degC", "K")
    } else {
        folded
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Thompson and Taylor (2008), NIST SP 811, Appendix B.8, given to seven digits; from memory.
    #[test]
    fn factors_agree_with_sp_811() {
        let published = [
            ("Btu/hft2F", Kind::Conductance, 5.678_263),
            ("hft2F/Btu", Kind::Resistance, 0.176_110_2),
            ("Btu/h", Kind::Power, 0.293_071_1),
            ("Btuin/hft2F", Kind::Conductivity, 0.144_227_9),
            ("Btu/hftF", Kind::Conductivity, 1.730_735),
            ("Btu/lbF", Kind::SpecificHeat, 4186.8),
            ("Btu/ft2", Kind::EnergyPerArea, 11_356.53),
            ("inH2O", Kind::Pressure, 249.088_9),
            ("inHg", Kind::Pressure, 3386.389),
            ("psi", Kind::Pressure, 6894.757),
            ("lbf/ft2", Kind::Pressure, 47.880_26),
            ("gal", Kind::Volume, 3.785_412e-3),
            ("cord", Kind::Volume, 3.624_556),
            ("cfm", Kind::Flow, 4.719_474e-4),
            ("mph", Kind::Speed, 0.447_04),
            ("hp", Kind::Power, 745.699_9),
            ("lb/ft3", Kind::Density, 16.018_46),
            ("ton", Kind::Mass, 907.184_7),
        ];
        for (symbol, kind, factor) in published {
            let unit = find(symbol, kind).expect("the unit is in the table");
            let error = (unit.factor / factor - 1.0).abs();
            // Seven digits: rounding alone moves a value by up to 5e-7 of itself.
            assert!(error < 5e-7, "{symbol}: {} against {factor}", unit.factor);
        }
    }

    #[test]
    fn names_are_unique_within_a_kind() {
        for kind in Kind::ALL {
            let mut all: Vec<_> = UNITS
                .iter()
                .filter(|unit| unit.kind == kind)
                .flat_map(names)
                .collect();
            let count = all.len();
            all.sort_unstable();
            all.dedup();
            assert_eq!(all.len(), count, "{kind:?}");
            assert!(count > 0, "{kind:?} has no unit");
        }
    }

    #[test]
    fn compound_units_are_read_in_the_usual_spellings() {
        for text in [
            "Btu/(h ft2 F)",
            "Btu/h·ft²·°F",
            "Btu/h-ft2-F",
            "btu/hr ft2 degF",
        ] {
            let unit = find(text, Kind::Conductance).map(|unit| unit.symbol);
            assert_eq!(unit, Some("Btu/hft2F"), "{text}");
        }
    }

    #[test]
    fn freezing_and_boiling_points_meet_on_both_scales() {
        let celsius = find("degC", Kind::Temperature).expect("in the table");
        let fahrenheit = find("degF", Kind::Temperature).expect("in the table");
        for (c, f) in [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0)] {
            assert!((celsius.to_base(c) - fahrenheit.to_base(f)).abs() < 1e-9);
            assert!((fahrenheit.from_base(celsius.to_base(c)) - f).abs() < 1e-9);
        }
    }
}
