//! Things that must move one way, and control that must hold.

use overwinter_engine::control::Setting;
use overwinter_engine::house::{House, Leakage};
use overwinter_engine::record::SeasonRecord;
use overwinter_engine::season::run_season;
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::{houses, years};

fn season(house: &House) -> SeasonRecord {
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    run_season(house, &sunlight(house, &year), &year).expect("the season is finished")
}

fn heat_j(house: &House) -> f64 {
    season(house).months.iter().map(|m| m.heat_j[0]).sum()
}

#[test]
fn more_leaks_cost_more_heat() {
    let with_leaks = |area_cm2: f64| {
        let mut house = houses::inflated_pair();
        house.leakage = Leakage::Area {
            area_cm2,
            stack: 1.45e-4,
            wind: 2.0e-4,
        };
        heat_j(&house)
    };
    let heats = [500.0, 1000.0, 2000.0, 4000.0].map(with_leaks);
    assert!(heats.is_sorted_by(|a, b| a < b), "{heats:?}");
}

#[test]
fn a_colder_hold_temperature_costs_less_heat() {
    let held_at = |hold_c: f64| {
        let mut house = houses::inflated_pair();
        house.heat_set_k = Setting::Constant(273.15 + hold_c);
        heat_j(&house)
    };
    let heats = [2.0, 5.0, 10.0, 15.0].map(held_at);
    assert!(heats.is_sorted_by(|a, b| a < b), "{heats:?}");
}

#[test]
fn a_second_film_saves_heat() {
    assert!(heat_j(&houses::inflated_pair()) < heat_j(&houses::single_film()));
}

#[test]
fn a_heater_with_output_to_spare_holds_its_band() {
    let mut house = houses::inflated_pair();
    house.heaters[0].output_w = 400e3;
    let record = season(&house);
    let set_k = 278.15;
    let half_band_k = house.heaters[0].band_k / 2.0;
    let lowest_k = record
        .hours
        .air_lowest_k
        .iter()
        .copied()
        .fold(f64::INFINITY, f64::min);
    assert!(
        lowest_k > set_k - half_band_k - 0.05,
        "{lowest_k} K under a set point of {set_k} K"
    );
    let missed = record.hours.below_set_k.iter().copied().fold(0.0, f64::max);
    assert!(missed < 0.05, "missed by {missed} K");
}

#[test]
fn vents_bound_the_day_peak() {
    let closed = {
        let mut house = houses::inflated_pair();
        house.vents = None;
        house
    };
    let peaks = [houses::inflated_pair(), closed].map(|house| {
        let record = season(&house);
        let year = years::shipped(years::COLD).expect("a shipped year reads");
        // How far the air stands above the warmer of outdoors and the fully open point.
        record
            .hours
            .air_temp_k
            .iter()
            .zip(&year.air_temp_k[1..])
            .map(|(air, outdoor)| air - outdoor.max(273.15 + 27.0))
            .fold(f64::NEG_INFINITY, f64::max)
    });
    println!(
        "above vents or outdoors: with vents {:.1} K, without {:.1} K",
        peaks[0], peaks[1]
    );
    assert!(
        peaks[0] < 5.0,
        "vents left the house {} K too warm",
        peaks[0]
    );
    assert!(peaks[1] > peaks[0] + 10.0, "closed houses overheat");
}

#[test]
fn an_unheated_house_is_no_colder_than_a_still_clear_night_allows() {
    // Radiation can take the cover below outdoor air, the ground holds the house up: the lowest air
    // stays within a few kelvin of the lowest outdoor air.
    let record = season(&houses::unheated_tunnel());
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    for (hour, air) in record.hours.air_temp_k.iter().enumerate() {
        let outdoor = year.air_temp_k[hour + 1];
        assert!(
            air - outdoor > -6.0,
            "hour {hour}: {air} K in, {outdoor} K out"
        );
    }
}
