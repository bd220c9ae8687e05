//! Kinds of quantity: what a number stands for, in words and in its base unit.

use std::fmt;

/// What a quantity measures. Values are held in the base unit named with each kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Distance, m.
    Length,
    /// Surface, m2.
    Area,
    /// Space, m3.
    Volume,
    /// Point on the temperature scale, K.
    Temperature,
    /// Distance between two temperatures, K.
    TemperatureDifference,
    /// Pressure, Pa.
    Pressure,
    /// Energy per time, W.
    Power,
    /// Energy, J.
    Energy,
    /// Power per area, W/m2.
    PowerPerArea,
    /// Energy per area, J/m2.
    EnergyPerArea,
    /// Volume per time, m3/s.
    Flow,
    /// Volume per time and area, m3/(s m2).
    FlowPerArea,
    /// Distance per time, m/s.
    Speed,
    /// Plane angle, degrees.
    Angle,
    /// Thermal transmittance or surface coefficient, W/(m2 K).
    Conductance,
    /// Thermal resistance of an area, m2 K/W.
    Resistance,
    /// Thermal conductivity, W/(m K).
    Conductivity,
    /// Heat per mass and kelvin, J/(kg K).
    SpecificHeat,
    /// Heat per volume and kelvin, J/(m3 K).
    VolumetricHeat,
    /// Heat per area and kelvin, J/(m2 K).
    ArealHeat,
    /// Heat per kelvin, J/K.
    HeatCapacity,
    /// Mass per volume, kg/m3.
    Density,
    /// Mass, kg.
    Mass,
    /// Mass per area, kg/m2.
    ArealMass,
    /// Mass per energy, kg/J.
    MassPerEnergy,
    /// Duration, s.
    Time,
    /// Volumes of house air exchanged per hour, 1/h.
    AirChange,
    /// Something per length, 1/m (extinction of light).
    PerLength,
    /// Resistance of a leaf to vapour or heat, s/m.
    LeafResistance,
    /// A part of a whole, 0 to 1.
    Share,
    /// A plain number without a unit.
    Number,
}

impl Kind {
    /// Every kind, in the order of declaration.
    pub const ALL: [Self; 31] = [
        Self::Length,
        Self::Area,
        Self::Volume,
        Self::Temperature,
        Self::TemperatureDifference,
        Self::Pressure,
        Self::Power,
        Self::Energy,
        Self::PowerPerArea,
        Self::EnergyPerArea,
        Self::Flow,
        Self::FlowPerArea,
        Self::Speed,
        Self::Angle,
        Self::Conductance,
        Self::Resistance,
        Self::Conductivity,
        Self::SpecificHeat,
        Self::VolumetricHeat,
        Self::ArealHeat,
        Self::HeatCapacity,
        Self::Density,
        Self::Mass,
        Self::ArealMass,
        Self::MassPerEnergy,
        Self::Time,
        Self::AirChange,
        Self::PerLength,
        Self::LeafResistance,
        Self::Share,
        Self::Number,
    ];

    /// The kind in words, with its article.
    pub fn wording(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::Temperature => "a temperature",
            Self::TemperatureDifference => "a temperature difference",
            Self::Pressure => "a pressure",
            Self::Power => "a power",
            Self::Energy => "an energy",
            Self::PowerPerArea => "a power per area",
            Self::EnergyPerArea => "an energy per area",
            Self::Flow => "an air flow",
            Self::FlowPerArea => "an air flow per area",
            Self::Speed => "a speed",
            Self::Angle => "an angle",
            Self::Conductance => "a heat transfer coefficient (U-value)",
            Self::Resistance => "a thermal resistance (R-value)",
            Self::Conductivity => "a thermal conductivity",
            Self::SpecificHeat => "a specific heat",
            Self::VolumetricHeat => "a heat capacity per volume",
            Self::ArealHeat => "a heat capacity per area",
            Self::HeatCapacity => "a heat capacity",
            Self::Density => "a density",
            Self::Mass => "a mass",
            Self::ArealMass => "a mass per area",
            Self::MassPerEnergy => "a mass per energy",
            Self::Time => "a time",
            Self::AirChange => "an air change rate",
            Self::PerLength => "a value per length",
            Self::LeafResistance => "a leaf resistance",
            Self::Share => "a share",
            Self::Number => "a plain number",
        }
    }

    /// True if a number alone is a complete value of this kind.
    pub fn allows_bare_number(self) -> bool {
        matches!(self, Self::Share | Self::Number)
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.wording())
    }
}
