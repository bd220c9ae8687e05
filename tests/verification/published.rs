//! Are the equations solved right? Published worked examples, tables of standards and closed forms,
//! one module a subject. The rows of the README's table come from here.

#![allow(missing_docs, reason = "a test target")]

#[path = "published/cover_light.rs"]
mod cover_light;
#[path = "published/crop_examples.rs"]
mod crop_examples;
#[path = "published/crop_leaf.rs"]
mod crop_leaf;
#[path = "published/crop_water.rs"]
mod crop_water;
#[path = "published/failing_nights.rs"]
mod failing_nights;
#[path = "published/film_covers.rs"]
mod film_covers;
#[path = "published/fuel.rs"]
mod fuel;
#[path = "published/glazing.rs"]
mod glazing;
#[path = "published/ground.rs"]
mod ground;
#[path = "published/ground_column.rs"]
mod ground_column;
#[path = "published/ground_edge.rs"]
mod ground_edge;
#[path = "published/heat_loss.rs"]
mod heat_loss;
#[path = "published/matrix.rs"]
mod matrix;
#[path = "published/moist_air.rs"]
mod moist_air;
#[path = "published/rooms.rs"]
mod rooms;
#[path = "published/sky_models.rs"]
mod sky_models;
#[path = "published/sun_and_sky.rs"]
mod sun_and_sky;
#[path = "published/sun_position.rs"]
mod sun_position;
#[path = "published/tilted_light.rs"]
mod tilted_light;
