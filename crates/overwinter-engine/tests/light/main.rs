//! Sunlight on and in a house: against published figures, exact limits and a year of weather.

mod denver;
mod rooms;
mod shares;
mod shell;
