//! Greenhouse gases that a year's energy gives off, and what they come to as carbon dioxide.
//!
//! # References
//! - IPCC, Climate Change 2013: The Physical Science Basis (Fifth Assessment Report), Table 8.A.1:
//!   potentials over 100 years without climate-carbon feedbacks; the set of 40 CFR part 98, Table A-1,
//!   as amended in 2024 (89 FR 31894).

use std::iter::Sum;
use std::ops::Sub;

/// Kilograms of carbon dioxide that warm over 100 years as a kilogram of methane does.
pub const METHANE_KG_CO2E: f64 = 28.0;

/// Kilograms of carbon dioxide that warm over 100 years as a kilogram of nitrous oxide does.
pub const NITROUS_OXIDE_KG_CO2E: f64 = 265.0;

/// The set of potentials, as it stands beside every figure made with it.
pub const POTENTIALS: &str = "potentials over 100 years of the Fifth Assessment Report of the IPCC: \
     methane 28, nitrous oxide 265";

/// Greenhouse gases given off, kg of each.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Emissions {
    /// Carbon dioxide from fossil fuel, and from electricity as stated.
    pub carbon_dioxide_kg: f64,
    /// Carbon dioxide from wood, which grew by taking it up; inventories count it apart.
    pub biogenic_carbon_dioxide_kg: f64,
    /// Methane, of wood as well.
    pub methane_kg: f64,
    /// Nitrous oxide, of wood as well.
    pub nitrous_oxide_kg: f64,
}

impl Emissions {
    /// All of it as carbon dioxide, kg CO2e: `CO2 + 28 CH4 + 265 N2O`, without biogenic carbon dioxide.
    ///
    /// ```
    /// use overwinter_economics::Emissions;
    /// // A million Btu of natural gas by 40 CFR part 98, Tables C-1 and C-2. New York City puts it at
    /// // 53.11 kg (Local Law 97 of 2019, Administrative Code 28-320.3.1.1: 0.00005311 t a thousand Btu).
    /// let gas = Emissions {
    ///     carbon_dioxide_kg: 53.06,
    ///     methane_kg: 0.001,
    ///     nitrous_oxide_kg: 0.0001,
    ///     ..Emissions::default()
    /// };
    /// assert!((gas.co2e_kg() - 53.11).abs() < 0.005);
    /// ```
    pub fn co2e_kg(&self) -> f64 {
        self.carbon_dioxide_kg
            + METHANE_KG_CO2E * self.methane_kg
            + NITROUS_OXIDE_KG_CO2E * self.nitrous_oxide_kg
    }

    /// Its parts with what they are called, for checks.
    pub(crate) fn parts(&self) -> [(&'static str, f64); 4] {
        [
            ("carbon dioxide", self.carbon_dioxide_kg),
            ("biogenic carbon dioxide", self.biogenic_carbon_dioxide_kg),
            ("methane", self.methane_kg),
            ("nitrous oxide", self.nitrous_oxide_kg),
        ]
    }

    fn with(self, other: Self, of: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            carbon_dioxide_kg: of(self.carbon_dioxide_kg, other.carbon_dioxide_kg),
            biogenic_carbon_dioxide_kg: of(
                self.biogenic_carbon_dioxide_kg,
                other.biogenic_carbon_dioxide_kg,
            ),
            methane_kg: of(self.methane_kg, other.methane_kg),
            nitrous_oxide_kg: of(self.nitrous_oxide_kg, other.nitrous_oxide_kg),
        }
    }
}

impl Sub for Emissions {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        self.with(other, |one, another| one - another)
    }
}

impl Sum for Emissions {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        let add = |sum: Self, part| sum.with(part, |one, another| one + another);
        parts.fold(Self::default(), add)
    }
}
