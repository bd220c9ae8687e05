//! Sunlight through films, panes and screens: one sheet, then stacks of sheets, by angle.
//!
//! A [`StackOptics`] is built once and asked for every hour. It follows both polarisations through
//! the stack and averages at the end. Left out: spectra, edges and frames, water on the sheets.

mod sheet;
mod stack;
#[cfg(test)]
mod tests;

pub use sheet::{Sheet, SheetOptics, fresnel_reflectance};
pub use stack::{AnglePlace, BeamShares, MAX_SHEETS, StackOptics, StackShares};
