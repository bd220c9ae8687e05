//! What the numbers of a case are called, in which unit they stand and which way is better.

use std::sync::Arc;

use super::measures::{Measures, TimeBelow};
use crate::tables::units::{degc, degf, fahrenheit_steps, kbtu_h, kilowatts, kwh, mmbtu};

/// One of the numbers that designs are compared by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// Energy of the fuel.
    FuelEnergy,
    /// Fuel in its own unit.
    Fuel,
    /// Cost of the fuel.
    FuelCost,
    /// Electricity beside the fuel.
    Electricity,
    /// Its cost.
    ElectricityCost,
    /// Cost of fuel and electricity.
    Cost,
    /// Heat delivered.
    Heat,
    /// Largest heat over an hour.
    PeakHeat,
    /// Heat that was missing.
    UnmetHeat,
    /// Lowest leaf.
    LowestLeaf,
    /// Lowest air.
    LowestAir,
    /// Hours below the first limit.
    BelowFirstLimit,
    /// Hours below the limit at which the crop is lost.
    BelowLossLimit,
    /// Lowest leaf of the clear design night when something fails.
    FailingLeaf,
    /// Nights with the crop lost when something fails.
    NightsLost,
}

/// Which of two values is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Better {
    /// The smaller.
    Less,
    /// The larger.
    More,
}

/// In what a measure is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Scale {
    Energy,
    Electricity,
    Power,
    Temperature,
    Hours,
    Nights,
    Fuel,
    Money,
}

/// What has to be the same for two values to be compared: unit, and where it matters the fuel or the
/// failure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Unit {
    /// The unit.
    pub(super) name: Arc<str>,
    /// What it is a unit of.
    pub(super) of: Option<Arc<str>>,
}

impl Measure {
    /// All of them, in the order of the tables.
    pub const ALL: [Self; 15] = [
        Self::FuelEnergy,
        Self::Fuel,
        Self::FuelCost,
        Self::Electricity,
        Self::ElectricityCost,
        Self::Cost,
        Self::Heat,
        Self::PeakHeat,
        Self::UnmetHeat,
        Self::LowestLeaf,
        Self::LowestAir,
        Self::BelowFirstLimit,
        Self::BelowLossLimit,
        Self::FailingLeaf,
        Self::NightsLost,
    ];

    /// Its name in the tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::FuelEnergy => "fuel energy",
            Self::Fuel => "fuel",
            Self::FuelCost => "fuel cost",
            Self::Electricity => "electricity",
            Self::ElectricityCost => "electricity cost",
            Self::Cost => "fuel and electricity cost",
            Self::Heat => "heat",
            Self::PeakHeat => "peak heat",
            Self::UnmetHeat => "unmet heat",
            Self::LowestLeaf => "lowest leaf",
            Self::LowestAir => "lowest air",
            Self::BelowFirstLimit => "hours below first limit",
            Self::BelowLossLimit => "hours below loss limit",
            Self::FailingLeaf => "lowest leaf when failing",
            Self::NightsLost => "nights lost when failing",
        }
    }

    /// Which way is better.
    pub fn better(self) -> Better {
        match self.scale() {
            Scale::Temperature => Better::More,
            _ => Better::Less,
        }
    }

    /// Whether `a` is better than `b`; `None` if they are equal.
    pub(super) fn is_better(self, a: f64, b: f64) -> Option<bool> {
        match self.better() {
            Better::Less => super::statistics::is_less(a, b),
            Better::More => super::statistics::is_less(b, a),
        }
    }

    /// Its value in SI, where the case has one.
    pub(super) fn value(self, of: &Measures) -> Option<f64> {
        let failing = of.failing.as_ref();
        let value = match self {
            Self::FuelEnergy => of.fuel_j,
            Self::Fuel => of.fuel_units,
            Self::FuelCost => of.fuel_cost,
            Self::Electricity => of.electricity_j,
            Self::ElectricityCost => of.electricity_cost,
            Self::Cost => of.cost(),
            Self::Heat => of.heat_j,
            Self::PeakHeat => of.peak_heat_w,
            Self::UnmetHeat => of.unmet_j,
            Self::LowestLeaf => of.lowest_leaf_k,
            Self::LowestAir => of.lowest_air_k,
            Self::BelowFirstLimit => of.limits.first().map(|limit| limit.hours),
            Self::BelowLossLimit => loss(of).map(|limit| limit.hours),
            Self::FailingLeaf => failing.and_then(|failing| failing.clear_leaf_k),
            Self::NightsLost => failing.and_then(|failing| failing.nights_lost),
        };
        value.filter(|value| value.is_finite())
    }

    /// Its unit in a case.
    pub(super) fn unit(self, of: &Measures) -> Unit {
        let own = |name: &Option<String>| Arc::from(name.as_deref().unwrap_or("unit"));
        let scale = self.scale();
        Unit {
            name: match scale {
                Scale::Fuel => own(&of.fuel_unit),
                Scale::Money => own(&of.currency),
                _ => Arc::from(scale.si_unit()),
            },
            of: match self {
                Self::Fuel => of.fuel.as_deref().map(Arc::from),
                Self::FailingLeaf | Self::NightsLost => of.failing.as_ref().map(|failing| {
                    Arc::from(format!("{} for {} h", failing.failure, failing.length_h))
                }),
                Self::BelowFirstLimit => of.limits.first().map(limit_name),
                Self::BelowLossLimit => loss(of).map(limit_name),
                _ => None,
            },
        }
    }

    /// True if the values of two cases can be compared.
    pub(super) fn is_same_unit(self, a: &Measures, b: &Measures) -> bool {
        match self {
            Self::Fuel => (&a.fuel, &a.fuel_unit) == (&b.fuel, &b.fuel_unit),
            Self::FailingLeaf | Self::NightsLost | Self::BelowFirstLimit | Self::BelowLossLimit => {
                self.unit(a) == self.unit(b)
            }
            _ if self.scale() == Scale::Money => a.currency == b.currency,
            _ => true,
        }
    }

    pub(super) fn scale(self) -> Scale {
        match self {
            Self::FuelEnergy | Self::Heat | Self::UnmetHeat => Scale::Energy,
            Self::Fuel => Scale::Fuel,
            Self::FuelCost | Self::ElectricityCost | Self::Cost => Scale::Money,
            Self::Electricity => Scale::Electricity,
            Self::PeakHeat => Scale::Power,
            Self::LowestLeaf | Self::LowestAir | Self::FailingLeaf => Scale::Temperature,
            Self::BelowFirstLimit | Self::BelowLossLimit => Scale::Hours,
            Self::NightsLost => Scale::Nights,
        }
    }
}

/// A limit by its name and temperature: hours below two limits are not compared.
fn limit_name(limit: &TimeBelow) -> Arc<str> {
    Arc::from(format!("{}, {:.1} degC", limit.name, degc(limit.limit_k)))
}

fn loss(of: &Measures) -> Option<&TimeBelow> {
    of.limits.iter().find(|limit| limit.is_loss)
}

impl Scale {
    fn si_unit(self) -> &'static str {
        match self {
            Self::Energy | Self::Electricity => "kWh",
            Self::Power => "kW",
            Self::Temperature => "degC",
            Self::Hours => "h",
            Self::Nights => "nights",
            Self::Fuel | Self::Money => "",
        }
    }

    /// The unit of its twin in the United States, where it has another.
    pub(super) fn us_unit(self) -> Option<&'static str> {
        match self {
            Self::Energy => Some("MMBtu"),
            Self::Power => Some("kBtu/h"),
            Self::Temperature => Some("degF"),
            Self::Electricity | Self::Hours | Self::Nights | Self::Fuel | Self::Money => None,
        }
    }

    /// A value as it stands in a table.
    pub(super) fn si(self, value: f64) -> f64 {
        match self {
            Self::Temperature => degc(value),
            _ => self.si_difference(value),
        }
    }

    /// A difference as it stands in a table.
    pub(super) fn si_difference(self, value: f64) -> f64 {
        match self {
            Self::Energy | Self::Electricity => kwh(value),
            Self::Power => kilowatts(value),
            _ => value,
        }
    }

    /// The twin of a value, or the value as it stands where its unit has none.
    pub(super) fn us(self, value: f64) -> f64 {
        match self {
            Self::Temperature => degf(value),
            _ => self.us_difference(value),
        }
    }

    /// The twin of a difference.
    pub(super) fn us_difference(self, value: f64) -> f64 {
        match self {
            Self::Energy => mmbtu(value),
            Self::Power => kbtu_h(value),
            Self::Temperature => fahrenheit_steps(value),
            _ => self.si_difference(value),
        }
    }
}
