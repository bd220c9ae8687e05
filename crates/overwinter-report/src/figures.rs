//! Numbers in print: two or three significant figures, the unit, and its twin.

use overwinter_units::unit;
use overwinter_units::{Kind, MONTH_NAMES, System, grouped, significant, tenth};

const ZERO_DEGC_K: f64 = 273.15;
const J_PER_KWH: f64 = 3.6e6;
const MIN_PER_H: f64 = 60.0;
const MIN_PER_DAY: f64 = 1_440.0;

/// What stands in a cell without a value.
pub(crate) const NOTHING: &str = "–";

/// A quantity with a unit in each system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Quantity {
    /// A temperature, held in degrees Celsius.
    Temperature,
    /// A distance of temperatures, held in kelvins.
    Difference,
    /// Energy, held in kWh.
    Energy,
    /// Power, held in kW.
    Power,
}

impl Quantity {
    /// Its unit in a system.
    pub(crate) fn unit(self, system: System) -> &'static str {
        match (self, system) {
            (Self::Temperature, System::Us) => "°F",
            (Self::Temperature, System::Si) => "°C",
            (Self::Difference, System::Us) => "°F",
            (Self::Difference, System::Si) => "K",
            (Self::Energy, System::Us) => "MMBtu",
            (Self::Energy, System::Si) => "kWh",
            (Self::Power, System::Us) => "kBtu/h",
            (Self::Power, System::Si) => "kW",
        }
    }

    /// Both units, for the head of a column: `°F (°C)`.
    pub(crate) fn units(self, system: System) -> String {
        format!("{} ({})", self.unit(system), self.unit(other(system)))
    }

    /// The number in a system.
    pub(crate) fn value(self, value: f64, system: System) -> f64 {
        if system == System::Si {
            return value;
        }
        match self {
            Self::Temperature => from_base(value + ZERO_DEGC_K, "degF", Kind::Temperature),
            Self::Difference => from_base(value, "degF", Kind::TemperatureDifference),
            Self::Energy => from_base(value * J_PER_KWH, "MMBtu", Kind::Energy),
            Self::Power => from_base(value * 1e3, "kBtu/h", Kind::Power),
        }
    }

    /// The number in a system, as it is printed.
    pub(crate) fn number(self, value: f64, system: System) -> String {
        let value = self.value(value, system);
        match self {
            Self::Temperature | Self::Difference => minus(&tenth(value)),
            Self::Energy | Self::Power => figures(value),
        }
    }

    /// Number and unit in one system.
    pub(crate) fn short(self, value: f64, system: System) -> String {
        // A number is not torn from its unit at the end of a line.
        format!("{}\u{a0}{}", self.number(value, system), self.unit(system))
    }

    /// Number and unit with the twin in brackets.
    pub(crate) fn pair(self, value: f64, system: System) -> String {
        format!(
            "{} ({})",
            self.short(value, system),
            self.short(value, other(system))
        )
    }

    /// Both numbers, for a cell whose column has the units.
    pub(crate) fn cell(self, value: Option<f64>, system: System) -> String {
        value.map_or_else(
            || NOTHING.to_owned(),
            |value| {
                format!(
                    "{}\u{a0}({})",
                    self.number(value, system),
                    self.number(value, other(system))
                )
            },
        )
    }
}

/// The system that stands in brackets.
pub(crate) fn other(system: System) -> System {
    match system {
        System::Si => System::Us,
        System::Us => System::Si,
    }
}

/// Three significant figures with thousands apart: `2,850`; below 1 two of them, below a tenth one,
/// since so little matters to nobody.
pub(crate) fn figures(value: f64) -> String {
    let figures = match value.abs() {
        size if size < 0.1 => 1,
        size if size < 1.0 => 2,
        _ => 3,
    };
    minus(&grouped(&significant(value, figures)))
}

/// The same for a cell.
pub(crate) fn cell(value: Option<f64>) -> String {
    value.map_or_else(|| NOTHING.to_owned(), figures)
}

/// Two significant figures, for what is no better known.
pub(crate) fn rough(value: f64) -> String {
    minus(&grouped(&significant(value, 2)))
}

/// A count, in full.
pub(crate) fn count(value: u64) -> String {
    grouped(&value.to_string())
}

/// A count of things: `1 night`, `57 nights`.
pub(crate) fn counted(value: u64, one: &str, more: &str) -> String {
    format!("{} {}", count(value), if value == 1 { one } else { more })
}

/// A share as so many of 100.
pub(crate) fn of_hundred(share: f64) -> String {
    format!("{} of 100", significant((share * 100.0).round(), 3))
}

/// A time in words: `5 min`, `1 h 20 min`, `3 days`.
pub(crate) fn duration(minutes: f64) -> String {
    let minutes = minutes.max(0.0).round();
    if minutes < MIN_PER_H * 2.0 {
        return format!("{}\u{a0}min", significant(minutes, 4));
    }
    if minutes < MIN_PER_DAY * 2.0 {
        let (hours, rest) = ((minutes / MIN_PER_H).floor(), minutes % MIN_PER_H);
        let rest = if rest < 1.0 {
            String::new()
        } else {
            format!(" {rest:.0}\u{a0}min")
        };
        return format!("{hours:.0}\u{a0}h{rest}");
    }
    format!("{}\u{a0}days", significant(minutes / MIN_PER_DAY, 3))
}

/// A length of failure in hours: `8 h`, `3 days`.
pub(crate) fn length(hours: f64) -> String {
    duration(hours * MIN_PER_H)
}

/// `27 Jan, 06:00` or `27 Jan` from `01-27 06:00` or `01-27`; any other text as it is.
pub(crate) fn date(month_day_hour: &str) -> String {
    let (date, hour) = month_day_hour
        .split_once(' ')
        .unwrap_or((month_day_hour, ""));
    let parts = date.split_once('-').and_then(|(month, day)| {
        let month = month_name(month.parse().ok()?)?;
        Some((month, day.parse::<u8>().ok()?))
    });
    match (parts, hour) {
        (None, _) => month_day_hour.to_owned(),
        (Some((month, day)), "") => format!("{day}\u{a0}{month}"),
        (Some((month, day)), hour) => format!("{day}\u{a0}{month}, {hour}"),
    }
}

/// Name of a month in full, from 1.
pub(crate) fn full_month_name(month: u64) -> Option<&'static str> {
    let index = usize::try_from(month.checked_sub(1)?).ok()?;
    MONTH_NAMES.get(index).copied()
}

/// Short name of a month, from 1.
pub(crate) fn month_name(month: u64) -> Option<&'static str> {
    full_month_name(month)?.get(..3)
}

/// The least and the greatest of some values, 0 without any.
pub(crate) fn ends(values: &[f64]) -> (f64, f64) {
    let least = values.iter().copied().reduce(f64::min).unwrap_or(0.0);
    (
        least,
        values.iter().copied().reduce(f64::max).unwrap_or(0.0),
    )
}

/// A minus that cannot be taken for a hyphen nor be broken from its number.
fn minus(number: &str) -> String {
    match number.strip_prefix('-') {
        Some(rest) => format!("−{rest}"),
        None => number.to_owned(),
    }
}

fn from_base(value: f64, symbol: &str, kind: Kind) -> f64 {
    unit::find(symbol, kind).map_or(f64::NAN, |unit| unit.from_base(value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_stand_with_their_twin() {
        // 1 kWh = 3,412.14 Btu (NIST SP 811, 2008, appendix B.8).
        assert_eq!(
            Quantity::Energy.pair(1_000.0, System::Us),
            "3.41\u{a0}MMBtu (1,000\u{a0}kWh)"
        );
        assert_eq!(
            Quantity::Power.pair(10.0, System::Si),
            "10\u{a0}kW (34.1\u{a0}kBtu/h)"
        );
        assert_eq!(
            Quantity::Temperature.pair(0.0, System::Us),
            "32.0\u{a0}°F (0.0\u{a0}°C)"
        );
        assert_eq!(
            Quantity::Temperature.pair(-40.0, System::Us),
            "−40.0\u{a0}°F (−40.0\u{a0}°C)"
        );
        assert_eq!(
            Quantity::Difference.pair(2.5, System::Us),
            "4.5\u{a0}°F (2.5\u{a0}K)"
        );
        assert_eq!(
            Quantity::Energy.cell(Some(29_307.1), System::Us),
            "100\u{a0}(29,300)"
        );
        assert_eq!(Quantity::Power.cell(None, System::Us), NOTHING);
    }

    #[test]
    fn numbers_are_short_and_grouped() {
        assert_eq!(figures(2_847.0), "2,850");
        assert_eq!(figures(-45_678.0), "−45,700");
        assert_eq!(rough(0.256), "0.26");
        assert_eq!(figures(0.656), "0.66");
        assert_eq!(figures(0.0249), "0.02");
        assert_eq!(counted(1, "night", "nights"), "1 night");
        assert_eq!(of_hundred(0.925), "93 of 100");
    }

    #[test]
    fn times_and_dates_are_in_words() {
        assert_eq!(duration(5.2), "5\u{a0}min");
        assert_eq!(duration(119.0), "119\u{a0}min");
        assert_eq!(duration(200.0), "3\u{a0}h 20\u{a0}min");
        assert_eq!(length(8.0), "8\u{a0}h");
        assert_eq!(length(144.0), "6\u{a0}days");
        assert_eq!(date("01-27 06:00"), "27\u{a0}Jan, 06:00");
        assert_eq!(date("11-05"), "5\u{a0}Nov");
        assert_eq!(date("no date"), "no date");
        assert_eq!(date("13-05"), "13-05");
    }
}
