//! Pure physics by subject: values in, values out.
//!
//! Absent here: a time loop, files, the clock, threads, serde. Formulas that the season loop calls
//! are generic over [`number::Real`].

pub mod air_exchange;
pub mod canopy;
pub mod cavity;
pub mod convection;
pub mod cover;
pub mod error;
pub mod evapotranspiration;
pub mod film_optics;
pub mod frost;
pub mod ground;
pub mod inflation;
pub mod longwave;
pub mod moist_air;
pub mod number;
pub mod sky;
pub mod sun;
pub mod tilted_plane;
