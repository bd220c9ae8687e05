//! The energy and water account.
//!
//! Sign: positive = into the house (its air, surfaces, cover, ground). The heat account is one of
//! sensible heat: water that evaporates takes [`HeatTerm::Evaporation`] out of the surfaces, water
//! that condenses gives it back, so that vapour itself stands in the water account alone.

/// Terms of the heat account; the discriminant is the index in [`Month::heat_j`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeatTerm {
    /// From heaters.
    Heater,
    /// Sun absorbed inside: crop, floor, walls, mass, air by way of the frame.
    SunInside,
    /// Sun absorbed in cover layers and on the outside of opaque walls.
    SunShell,
    /// Internal gains and the heat of fans, those of heaters included.
    Gains,
    /// Mechanical cooling (negative).
    Cooling,
    /// Longwave balance of the cover with sky and surroundings.
    CoverLongwave,
    /// Convection from the cover to the outdoor air.
    CoverConvection,
    /// Opaque walls to the outside, longwave and convection together.
    Walls,
    /// Air leaking in and out.
    Leakage,
    /// Air exchanged by vents and scheduled ventilation.
    Vents,
    /// Blower air carried through inflated spaces.
    Blower,
    /// Floor to deep soil or to the air below.
    GroundBelow,
    /// Floor edge to the soil outside.
    GroundEdge,
    /// Latent heat: negative while more water evaporates than condenses.
    Evaporation,
    /// Heat of fusion: positive while water freezes.
    Freezing,
}

/// Number of heat terms.
pub const HEAT_TERMS: usize = 15;

/// Names of the heat terms, in order, for table columns.
pub const HEAT_TERM_NAMES: [&str; HEAT_TERMS] = [
    "heater",
    "sun_inside",
    "sun_shell",
    "gains",
    "cooling",
    "cover_longwave",
    "cover_convection",
    "walls",
    "leakage",
    "vents",
    "blower",
    "ground_below",
    "ground_edge",
    "evaporation",
    "freezing",
];

/// Terms of the water account (vapour and liquid in the house); index in [`Month::water_kg`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaterTerm {
    /// From the floor surface.
    Floor,
    /// From the crop's stomata.
    Transpiration,
    /// From unvented heaters.
    Heater,
    /// Leaking air.
    Leakage,
    /// Vents and scheduled ventilation.
    Vents,
    /// Blower air.
    Blower,
    /// Drained to the gutter (negative).
    Gutter,
    /// Dripped back on crop and floor, or settled there as fog (negative: it leaves the accounted
    /// places).
    Drip,
}

/// Number of water terms.
pub const WATER_TERMS: usize = 8;

/// Names of the water terms, in order, for table columns.
pub const WATER_TERM_NAMES: [&str; WATER_TERMS] = [
    "floor",
    "transpiration",
    "heater",
    "leakage",
    "vents",
    "blower",
    "gutter",
    "drip",
];

/// The account of one month.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Month {
    /// Each heat term, integrated.
    pub heat_j: [f64; HEAT_TERMS],
    /// Change of stored sensible heat.
    pub stored_j: f64,
    /// Sum of heat terms minus the change of store.
    pub heat_residual_j: f64,
    /// Each water term, integrated.
    pub water_kg: [f64; WATER_TERMS],
    /// Change of stored water.
    pub stored_kg: f64,
    /// Sum of water terms minus the change of store.
    pub water_residual_kg: f64,
    /// Electricity of circulation fans.
    pub circulation_j: f64,
    /// Electricity of inflation blowers.
    pub blower_j: f64,
    /// Electricity of vent fans.
    pub vent_fan_j: f64,
    /// Heat that a further, ample heater would have had to give to hold the set point; 0 where the
    /// heaters were enough.
    pub unmet_j: f64,
    /// How far and how long the air was below what the heaters should hold, kelvin-hours.
    pub below_set_kh: f64,
    /// Hours of the month.
    pub hours: f64,
}
