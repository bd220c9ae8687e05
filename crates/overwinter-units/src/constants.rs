//! Physical constants, in SI, each with its source.

/// Stefan-Boltzmann constant, W/m2 K4.
///
/// Source: CODATA recommended values, Tiesinga et al. 2021, "CODATA recommended values of the
/// fundamental physical constants: 2018", Rev. Mod. Phys. 93, table XXXI (exact since 2019).
pub const STEFAN_BOLTZMANN_W_M2K4: f64 = 5.670_374_419e-8;

/// Molar gas constant, J/mol K (CODATA 2018, exact).
pub const GAS_CONSTANT_J_MOLK: f64 = 8.314_462_618;

/// Standard acceleration of gravity, m/s2 (3rd General Conference on Weights and Measures, 1901).
pub const GRAVITY_M_S2: f64 = 9.806_65;

/// Temperature of 0 degrees Celsius, K (definition of the Celsius scale).
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// Molar mass of dry air, kg/mol (ASHRAE Handbook Fundamentals 2017, chapter 1, from memory).
pub const MOLAR_MASS_DRY_AIR_KG_MOL: f64 = 28.966e-3;

/// Molar mass of water, kg/mol (ASHRAE Handbook Fundamentals 2017, chapter 1, from memory).
pub const MOLAR_MASS_WATER_KG_MOL: f64 = 18.015_268e-3;

/// Gas constant of dry air, J/kg K.
pub const GAS_CONSTANT_DRY_AIR_J_KGK: f64 = GAS_CONSTANT_J_MOLK / MOLAR_MASS_DRY_AIR_KG_MOL;

/// Gas constant of water vapour, J/kg K.
pub const GAS_CONSTANT_VAPOUR_J_KGK: f64 = GAS_CONSTANT_J_MOLK / MOLAR_MASS_WATER_KG_MOL;

/// Mass of a mole of water over that of dry air.
pub const WATER_TO_AIR_MASS_RATIO: f64 = MOLAR_MASS_WATER_KG_MOL / MOLAR_MASS_DRY_AIR_KG_MOL;

/// Pressure of the standard atmosphere at sea level, Pa (ISO 2533:1975).
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;

/// Specific heat of dry air at constant pressure, J/kg K (ASHRAE Handbook Fundamentals 2017,
/// chapter 1, enthalpy of dry air, from memory).
pub const AIR_HEAT_CAPACITY_J_KGK: f64 = 1006.0;

/// Specific heat of water vapour at constant pressure, J/kg K (ASHRAE Handbook Fundamentals 2017,
/// chapter 1, enthalpy of moist air, from memory).
pub const VAPOUR_HEAT_CAPACITY_J_KGK: f64 = 1860.0;

/// Specific heat of liquid water near 15 C, J/kg K (from memory).
pub const WATER_HEAT_CAPACITY_J_KGK: f64 = 4186.0;

/// Specific heat of ice near 0 C, J/kg K (from memory).
pub const ICE_HEAT_CAPACITY_J_KGK: f64 = 2100.0;

/// Density of liquid water, kg/m3 (from memory).
pub const WATER_DENSITY_KG_M3: f64 = 1000.0;

/// Heat of vaporisation of water at 0 C, J/kg (ASHRAE Handbook Fundamentals 2017, chapter 1, from
/// memory).
pub const VAPORISATION_HEAT_J_KG: f64 = 2.501e6;

/// Fall of the heat of vaporisation with temperature, J/kg K: 2501 - 2.361 t kJ/kg with t in C
/// (from memory).
pub const VAPORISATION_HEAT_SLOPE_J_KGK: f64 = 2361.0;

/// Heat of fusion of ice at 0 C, J/kg (from memory).
pub const FUSION_HEAT_J_KG: f64 = 0.334e6;

/// Heat of sublimation of ice near 0 C, J/kg (from memory).
pub const SUBLIMATION_HEAT_J_KG: f64 = VAPORISATION_HEAT_J_KG + FUSION_HEAT_J_KG;

/// Lewis number of water vapour in air: thermal over mass diffusivity (from memory).
pub const LEWIS_NUMBER: f64 = 0.86;
