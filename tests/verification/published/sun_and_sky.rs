//! The rows of the README on the sun, the light on tilted planes and through covers, and the sky.

use overwinter_tests::published::readme;

use crate::{cover_light, sky_models, sun_position, tilted_light};

#[test]
fn sun_and_sky_follow_their_sources() {
    let checks = [
        sun_position::checks(),
        tilted_light::checks(),
        cover_light::checks(),
        sky_models::checks(),
    ];
    readme::assert_current("Sun and sky", &checks.concat());
}
