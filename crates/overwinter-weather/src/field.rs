//! The quantities a weather row may hold, each with its name, its possible range and the rule for
//! bridging gaps.

/// A quantity of a weather row, kept in SI units (temperatures in K).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Field {
    GlobalHorizontal,
    DirectNormal,
    DiffuseHorizontal,
    Extraterrestrial,
    AirTemp,
    DewPoint,
    Humidity,
    Pressure,
    Wind,
    WindFrom,
    Longwave,
    OpaqueCover,
    SnowDepth,
    Albedo,
}

/// Number of fields.
pub(crate) const FIELDS: usize = Field::Albedo as usize + 1;

/// What is known of a field before any file is read.
pub(crate) struct FieldRule {
    /// The quantity in words, for messages.
    pub(crate) name: &'static str,
    /// Smallest and largest possible value in SI units; outside it a value counts as missing.
    pub(crate) possible: (f64, f64),
    /// True where files write 0 for "not filled".
    pub(crate) zero_is_missing: bool,
}

impl Field {
    /// The rule of this field. Ranges are wide bounds of what the open air can show (estimates).
    pub(crate) const fn rule(self) -> FieldRule {
        let (name, low, high, zero_is_missing) = match self {
            Field::GlobalHorizontal => ("global horizontal radiation", -20.0, 1700.0, false),
            Field::DirectNormal => ("direct normal radiation", -20.0, 1450.0, false),
            Field::DiffuseHorizontal => ("diffuse horizontal radiation", -20.0, 1200.0, false),
            Field::Extraterrestrial => ("extraterrestrial radiation", 0.0, 1500.0, false),
            Field::AirTemp => ("air temperature", 183.15, 335.15, false),
            Field::DewPoint => ("dew point", 173.15, 313.15, false),
            Field::Humidity => ("relative humidity", 0.0, 1.5, true),
            Field::Pressure => ("air pressure", 45_000.0, 110_000.0, false),
            Field::Wind => ("wind speed", 0.0, 90.0, false),
            Field::WindFrom => ("wind direction", 0.0, 360.0, false),
            Field::Longwave => ("longwave from the sky", 30.0, 700.0, true),
            Field::OpaqueCover => ("opaque cloud cover", 0.0, 1.0, false),
            Field::SnowDepth => ("snow depth", 0.0, 15.0, false),
            Field::Albedo => ("ground reflectance", 0.0, 1.0, true),
        };
        FieldRule {
            name,
            possible: (low, high),
            zero_is_missing,
        }
    }

    /// True for the three measured radiation components.
    pub(crate) const fn is_sun(self) -> bool {
        matches!(
            self,
            Field::GlobalHorizontal | Field::DirectNormal | Field::DiffuseHorizontal
        )
    }
}
