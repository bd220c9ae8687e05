//! Whole seasons and whole nights beside what was measured or is advised for houses in the field.
//!
//! The houses are the scenario files of `field/`. Each test named for a sign holds in any climate;
//! sizes are shown for the crop, the soil and the wetness that a row names. Field figures are means
//! over houses that nobody described in full: where ours lies outside, a test shows what it is that
//! makes the difference.
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

#[path = "field/case.rs"]
mod case;
#[path = "field/covers.rs"]
mod covers;
#[path = "field/houses.rs"]
mod houses;
#[path = "field/night.rs"]
mod night;
#[path = "field/nights.rs"]
mod nights;
#[path = "field/still_covers.rs"]
mod still_covers;
#[path = "field/unheated.rs"]
mod unheated;
#[path = "field/wind.rs"]
mod wind;

use overwinter_tests::published::readme;

#[test]
fn rows_of_the_readme() {
    let mut checks = still_covers::checks();
    checks.extend(covers::checks());
    checks.extend(nights::checks());
    checks.extend(houses::checks());
    checks.extend(unheated::checks());
    readme::assert_current("Field figures", &checks);
}
