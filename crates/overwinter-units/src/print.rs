//! Printing base-unit values in SI or US customary units.

use crate::kind::Kind;
use crate::unit::{self, Unit};

/// The units a reader wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// International units, with kWh for energy and degrees Celsius.
    Si,
    /// United States customary units.
    Us,
}

/// Names of the months; the first three letters are the short ones.
pub const MONTH_NAMES: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Prints `value`, in the base unit of `kind`, to three significant figures.
///
/// ```
/// use overwinter_units::{Kind, System, print};
/// assert_eq!(print(29.2608, Kind::Length, System::Us), "96 ft");
/// assert_eq!(print(29_307.1, Kind::Power, System::Us), "100 kBtu/h");
/// assert_eq!(print(277.594, Kind::Temperature, System::Si), "4.44 degC");
/// ```
pub fn print(value: f64, kind: Kind, system: System) -> String {
    print_to(value, kind, system, 3)
}

/// Prints `value`, in the base unit of `kind`, to `figures` significant figures.
///
/// The unit is the largest of the system in which the number is at least 1.
pub fn print_to(value: f64, kind: Kind, system: System, figures: usize) -> String {
    let candidates = ladder(kind, system);
    let fitting = candidates
        .iter()
        .filter_map(|symbol| unit::find(symbol, kind))
        .rev()
        .find(|unit| unit.from_base(value).abs() >= 0.9995);
    let smallest = candidates
        .first()
        .and_then(|symbol| unit::find(symbol, kind));
    match fitting.or(smallest) {
        Some(unit) => print_in(value, unit, figures),
        None => significant(value, figures),
    }
}

/// Prints `value`, in the base unit of the kind, in one given unit.
pub fn print_in(value: f64, unit: &Unit, figures: usize) -> String {
    let number = significant(unit.from_base(value), figures);
    match unit.symbol {
        "" => number,
        symbol => format!("{number} {symbol}"),
    }
}

/// A number to `figures` significant figures, without an exponent and without idle zeros.
pub fn significant(number: f64, figures: usize) -> String {
    if !number.is_finite() {
        return number.to_string();
    }
    let figures = i32::try_from(figures.clamp(1, 17)).unwrap_or(17);
    let rounded: f64 = format!("{number:.*e}", (figures - 1).unsigned_abs() as usize)
        .parse()
        .unwrap_or(number);
    if rounded.abs() < f64::MIN_POSITIVE {
        return "0".to_owned();
    }
    let magnitude = rounded.abs().log10().floor();
    #[allow(
        clippy::cast_possible_truncation,
        reason = "a decimal exponent is within -308..=308"
    )]
    let decimals = (figures - 1 - magnitude as i32).max(0);
    let fixed = format!("{rounded:.*}", decimals.unsigned_abs() as usize);
    if fixed.contains('.') {
        fixed.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        fixed
    }
}

/// Puts a comma between the thousands of a printed number: `12345.6` becomes `12,345.6`.
///
/// ```
/// use overwinter_units::{grouped, significant};
/// assert_eq!(grouped(&significant(2_847.0, 3)), "2,850");
/// ```
pub fn grouped(number: &str) -> String {
    let (whole, rest) = number.split_at(number.find('.').unwrap_or(number.len()));
    let (sign, digits) = whole.split_at(usize::from(whole.starts_with('-')));
    let mut text = sign.to_owned();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.chars().count() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text + rest
}

/// One decimal, without a minus in front of nothing, as temperatures are printed.
pub fn tenth(value: f64) -> String {
    let text = format!("{value:.1}");
    if text == "-0.0" {
        "0.0".to_owned()
    } else {
        text
    }
}

/// Units to choose from, from small to large.
fn ladder(kind: Kind, system: System) -> &'static [&'static str] {
    match system {
        System::Si => si_ladder(kind),
        System::Us => us_ladder(kind),
    }
}

fn si_ladder(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Length => &["um", "mm", "m"],
        Kind::Area => &["cm2", "m2"],
        Kind::Volume => &["L", "m3"],
        Kind::Temperature => &["degC"],
        Kind::TemperatureDifference => &["K"],
        Kind::Pressure => &["Pa", "kPa"],
        Kind::Power => &["W", "kW"],
        Kind::Energy => &["Wh", "kWh", "MWh"],
        Kind::PowerPerArea => &["W/m2"],
        Kind::EnergyPerArea => &["kWh/m2"],
        Kind::Flow => &["L/s", "m3/s"],
        Kind::FlowPerArea => &["L/sm2"],
        Kind::Speed => &["m/s"],
        Kind::Angle => &["deg"],
        Kind::Conductance => &["W/m2K"],
        Kind::Resistance => &["m2K/W"],
        Kind::Conductivity => &["W/mK"],
        Kind::SpecificHeat => &["J/kgK"],
        Kind::VolumetricHeat => &["kJ/m3K", "MJ/m3K"],
        Kind::ArealHeat => &["J/m2K", "kJ/m2K"],
        Kind::HeatCapacity => &["kJ/K", "MJ/K"],
        Kind::Density => &["kg/m3"],
        Kind::Mass => &["kg", "t"],
        Kind::ArealMass => &["g/m2", "kg/m2"],
        Kind::MassPerEnergy => &["kg/MJ"],
        Kind::PerLength => &["/m"],
        _ => either_ladder(kind),
    }
}

fn us_ladder(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Length => &["mil", "in", "ft"],
        Kind::Area => &["in2", "ft2"],
        Kind::Volume => &["gal"],
        Kind::Temperature | Kind::TemperatureDifference => &["degF"],
        Kind::Pressure => &["inH2O"],
        Kind::Power => &["Btu/h", "kBtu/h"],
        Kind::Energy => &["Btu", "kBtu", "MMBtu"],
        Kind::PowerPerArea => &["Btu/hft2"],
        Kind::EnergyPerArea => &["Btu/ft2", "kBtu/ft2"],
        Kind::Flow => &["cfm"],
        Kind::FlowPerArea => &["cfm/ft2"],
        Kind::Speed => &["mph"],
        Kind::Angle => &["deg"],
        Kind::Conductance => &["Btu/hft2F"],
        Kind::Resistance => &["hft2F/Btu"],
        Kind::Conductivity => &["Btu/hftF"],
        Kind::SpecificHeat => &["Btu/lbF"],
        Kind::VolumetricHeat => &["Btu/ft3F"],
        Kind::ArealHeat => &["Btu/ft2F"],
        Kind::HeatCapacity => &["Btu/F"],
        Kind::Density => &["lb/ft3"],
        Kind::Mass => &["lb", "ton"],
        Kind::ArealMass => &["lb/ft2"],
        Kind::MassPerEnergy => &["lb/MMBtu"],
        Kind::PerLength => &["/m"],
        _ => either_ladder(kind),
    }
}

fn either_ladder(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Time => &["s", "min", "h"],
        Kind::AirChange => &["/h"],
        Kind::LeafResistance => &["s/m"],
        Kind::Share => &["%"],
        _ => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse;

    #[test]
    fn numbers_keep_their_significant_figures() {
        let cases = [
            (246_123.0, 3, "246000"),
            (0.012_345, 3, "0.0123"),
            (99.96, 3, "100"),
            (9.996, 3, "10"),
            (-4.444, 2, "-4.4"),
            (0.0, 3, "0"),
            (30.0, 3, "30"),
        ];
        for (number, figures, expected) in cases {
            assert_eq!(significant(number, figures), expected);
        }
    }

    #[test]
    fn thousands_stand_apart() {
        let cases = [
            ("0", "0"),
            ("999", "999"),
            ("1000", "1,000"),
            ("-45700", "-45,700"),
            ("1234567.25", "1,234,567.25"),
            ("", ""),
        ];
        for (number, expected) in cases {
            assert_eq!(grouped(number), expected);
        }
    }

    #[test]
    fn tenths_have_no_minus_in_front_of_nothing() {
        assert_eq!(tenth(-0.04), "0.0");
        assert_eq!(tenth(-0.06), "-0.1");
        assert_eq!(tenth(33.55), "33.5");
    }

    #[test]
    fn every_unit_of_the_ladders_is_in_the_table() {
        for kind in Kind::ALL {
            for system in [System::Si, System::Us] {
                for symbol in ladder(kind, system) {
                    assert!(unit::find(symbol, kind).is_some(), "{kind:?} {symbol}");
                }
            }
        }
    }

    #[test]
    fn every_unit_returns_through_print_and_parse() {
        for unit in unit::UNITS {
            let value = unit.to_base(12.345_678_9);
            let text = print_in(value, unit, 15);
            let back = parse(&text, unit.kind).unwrap_or_else(|error| panic!("{error}"));
            assert!((back / value - 1.0).abs() < 1e-12, "{text}");
        }
    }

    #[test]
    fn units_follow_size_and_system() {
        assert_eq!(print(1.524e-4, Kind::Length, System::Us), "6 mil");
        assert_eq!(print(1.524e-4, Kind::Length, System::Si), "152 um");
        assert_eq!(print(0.15, Kind::Length, System::Us), "5.91 in");
        assert_eq!(print(0.8, Kind::Share, System::Si), "80 %");
        assert_eq!(print(3.6e9, Kind::Energy, System::Si), "1 MWh");
        assert_eq!(print(1.526, Kind::Number, System::Si), "1.53");
    }
}
