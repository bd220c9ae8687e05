//! Whole seasons of the engine through [`run_study`].

use super::*;
use crate::handmade::{self, film_house, golden};

/// A single-film house of 100 m2 with a cool hold temperature, in a real year.
fn study(cases: usize) -> Study {
    let mut study = handmade::study(cases);
    study.climates = vec![golden()];
    study.wants_hourly = true;
    for case in study.cases.held_mut() {
        let mut house = film_house();
        house.volume_m3 += 10.0 * case.id as f64;
        case.house = Arc::new(house);
    }
    study
}

#[test]
fn seasons_are_the_same_to_the_bit_for_any_number_of_threads() {
    let study = study(6);
    let tables = |threads| run_study(&study, Some(threads), &|_| ()).tables();
    let one = tables(1);
    assert_eq!(one.len(), 6);
    for threads in [2, 8] {
        // Compared without printing: six tables with every hour of six cases.
        assert!(
            tables(threads) == one,
            "{threads} threads give other tables"
        );
    }
}

#[test]
fn failures_of_every_night_are_the_same_to_the_bit_for_any_number_of_threads() {
    let mut study = study(2);
    study.wants_hourly = false;
    for case in study.cases.held_mut() {
        case.outages = Some(handmade::outage_plan());
    }
    let tables = |threads| run_study(&study, Some(threads), &|_| ()).tables();
    let one = tables(1);
    assert_eq!(one.len(), 7);
    assert_eq!((one[5].name, one[6].name), ("outages", "night"));
    // 2 cases x 2 failures x 2 starts x 3 lengths.
    assert_eq!(one[5].row_count(), 24);
    for threads in [2, 8] {
        assert!(
            tables(threads) == one,
            "{threads} threads give other tables"
        );
    }
}

#[test]
fn the_tables_agree_with_each_other() {
    let result = run_study(&study(1), Some(1), &|_| ());
    let rows = &result.cases[0];
    assert_eq!(rows.case.reason(), None);
    let heat_j = rows.fuel_use[0].heat_j;
    assert!(heat_j > 0.0, "a film house in Colorado needs heat");
    let ledger_j = rows.balance[0].account.heat_j[0];
    assert!(
        (heat_j / ledger_j - 1.0).abs() < 1e-9,
        "{heat_j} J by heaters, {ledger_j} J by ledger"
    );
    let peak_w = rows.fuel_use[0]
        .house
        .map_or(0.0, |house| house.peak_hour_w);
    // One film of 130 m2 at about 6.5 W/m2K and a wall over some 30 K, plus leaks: tens of kW,
    // and never more than the heater can give.
    assert!(peak_w > 10e3 && peak_w <= 30e3, "{peak_w} W");
    let lowest_air = rows.lowest_air.map(|lowest| lowest.temp_k);
    assert!(
        lowest_air.is_some_and(|air_k| air_k > 263.0),
        "{lowest_air:?}"
    );
}
