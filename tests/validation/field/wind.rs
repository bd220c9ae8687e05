//! Wind: what it does to one film, to two, and by way of leaks.

use overwinter_tests::years;
use overwinter_weather::Year;

use super::case::{Ran, Runs};

/// The same year with its wind doubled.
fn windier(year: &Year) -> Year {
    let mut year = year.clone();
    for wind_m_s in &mut year.wind_m_s {
        *wind_m_s *= 2.0;
    }
    year
}

/// Heat of the season that doubled wind adds, kWh/m2.
fn added_by_wind(house: &Ran, year: &Year) -> f64 {
    let calm = house.through(year.clone());
    house.through(windier(year)).heat_kwh_m2() - calm.heat_kwh_m2()
}

#[test]
fn wind_acts_on_a_pair_mostly_through_its_leaks() {
    let house = Runs::of("wind.toml");
    for file in [years::COLD, years::COLDEST, years::MILD, years::SUNNY] {
        let year = years::shipped(file).expect("a shipped year reads");
        let added = |cover: &str, change: &str| added_by_wind(house.case(&[cover, change]), &year);
        let sealed = added("pair", "none");
        let leaking = added("pair", "ordinary");
        let single = added("single film", "none");
        println!(
            "{file}: doubled wind adds {sealed:.1} kWh/m2 to a sealed pair, {leaking:.1} to a \
             leaking one, {single:.1} to a sealed single film"
        );
        assert!(
            sealed.abs() < 0.4 * leaking,
            "{file}: {sealed} of {leaking}"
        );
        assert!(sealed.abs() < 0.4 * single, "{file}: {sealed} of {single}");
    }
}
