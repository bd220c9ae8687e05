//! Sunlight on and in a house, against published figures, exact limits and a year of weather; whole
//! seasons of such houses in lanes.

mod denver;
mod lanes;
mod rooms;
mod shares;
mod shell;
