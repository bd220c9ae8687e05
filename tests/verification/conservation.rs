//! Heat and water are neither made nor lost: whole years of reference houses, month by month.
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

use overwinter_engine::house::House;
use overwinter_engine::ledger::Month;
use overwinter_engine::record::SeasonRecord;
use overwinter_engine::season::run_season;
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::{houses, years};

/// Largest residual of a month or a year, share of its throughput.
const ALLOWED_SHARE: f64 = 1e-6;
/// Throughputs below which a share means nothing: a dry room without leaks moves no water at all.
const LEAST_J: f64 = 1.0;
const LEAST_KG: f64 = 1e-6;
/// Largest error of a sum of stored numbers, share of it: rounding alone.
const ROUNDING_SHARE: f64 = 1e-9;

#[test]
fn inflated_pair_conserves_heat_and_water() {
    conserves(&houses::inflated_pair());
}

#[test]
fn single_film_conserves_heat_and_water() {
    conserves(&houses::single_film());
}

#[test]
fn unheated_tunnel_conserves_heat_and_water() {
    conserves(&houses::unheated_tunnel());
}

#[test]
fn pair_with_screen_conserves_heat_and_water() {
    conserves(&houses::pair_with_screen());
}

#[test]
fn light_room_conserves_heat_and_water() {
    conserves(&houses::light_room());
}

/// Each blown gap of a section has an account of its own.
#[test]
fn three_films_with_two_blown_gaps_conserve_heat_and_water() {
    conserves(&houses::film_house(3, 5.0, 80e3));
}

/// A fan that warms the air is in the account though its heater gives nothing, also on evenings when
/// it is warmer outside than in the vented house.
#[test]
fn a_heater_without_output_but_with_a_fan_conserves_heat_and_water() {
    conserves(&houses::film_house(2, 5.0, 0.0));
}

fn conserves(house: &House) {
    for file in [years::COLD, years::MILD] {
        let year = years::shipped(file).expect("a shipped year reads");
        let record =
            run_season(house, &sunlight(house, &year), &year).expect("the season is finished");
        check_accounts(&record, file);
        check_moisture(&record, file);
        check_heaters(&record, file);
    }
}

fn check_accounts(record: &SeasonRecord, file: &str) {
    assert!(record.worst_energy_residual < ALLOWED_SHARE, "{file}");
    assert!(record.worst_water_residual < ALLOWED_SHARE, "{file}");
    let mut whole = Month::default();
    let mut worst = [0.0_f64; 2];
    for (index, month) in record.months.iter().enumerate() {
        let shares = residual_shares(month);
        for (account, share) in ["heat", "water"].into_iter().zip(shares) {
            assert!(
                share < ALLOWED_SHARE,
                "{file}: {account} of month {} is open by {share:e} of its throughput",
                index + 1
            );
        }
        worst = [worst[0].max(shares[0]), worst[1].max(shares[1])];
        add(&mut whole, month);
    }
    let shares = residual_shares(&whole);
    assert!(shares[0] < ALLOWED_SHARE && shares[1] < ALLOWED_SHARE);
    println!(
        "{file}: worst month heat {:.1e} water {:.1e}, year heat {:.1e} water {:.1e}, \
         worst step heat {:.1e} water {:.1e}",
        worst[0],
        worst[1],
        shares[0],
        shares[1],
        record.worst_energy_residual,
        record.worst_water_residual
    );
}

/// The terms against the change of store, summed here from the terms themselves and not from the
/// residual that the engine keeps; share of the throughput.
fn residual_shares(month: &Month) -> [f64; 2] {
    let share = |terms: &[f64], stored: f64, least: f64| {
        let sum: f64 = terms.iter().sum();
        let throughput: f64 = terms.iter().map(|t| t.abs()).sum::<f64>() + stored.abs();
        (sum - stored).abs() / throughput.max(least)
    };
    [
        share(&month.heat_j, month.stored_j, LEAST_J),
        share(&month.water_kg, month.stored_kg, LEAST_KG),
    ]
}

fn add(whole: &mut Month, month: &Month) {
    for (sum, term) in whole.heat_j.iter_mut().zip(month.heat_j) {
        *sum += term;
    }
    for (sum, term) in whole.water_kg.iter_mut().zip(month.water_kg) {
        *sum += term;
    }
    whole.stored_j += month.stored_j;
    whole.stored_kg += month.stored_kg;
}

/// On every place: condensed = evaporated + drained + dripped + growth of what it holds.
fn check_moisture(record: &SeasonRecord, file: &str) {
    for place in &record.moisture {
        let mut held_kg: Option<f64> = None;
        for (index, month) in place.months.iter().enumerate() {
            let left = month.evaporated_kg + month.drained_kg + month.dripped_kg;
            // What the place held on 1 January is not in the record, so January starts the chain.
            if let Some(before) = held_kg {
                let grown = month.held_kg - before;
                let open = (month.condensed_kg - left - grown).abs();
                let scale = month.condensed_kg + left + month.held_kg.abs() + 1e-6;
                assert!(
                    open < ROUNDING_SHARE * scale,
                    "{file}, {}: month {} is open by {open:e} kg",
                    place.name,
                    index + 1
                );
            }
            held_kg = Some(month.held_kg);
        }
    }
}

/// The heaters of the record are the heater term of the account.
fn check_heaters(record: &SeasonRecord, file: &str) {
    for (index, month) in record.months.iter().enumerate() {
        let heaters_j: f64 = record.heaters.iter().map(|h| h[index].heat_j).sum();
        let term_j = month.heat_j[0];
        assert!(
            (heaters_j - term_j).abs() <= ROUNDING_SHARE * term_j.abs(),
            "{file}: heaters of month {} gave {heaters_j} J, account {term_j} J",
            index + 1
        );
    }
    let hourly_j: f64 = record.hours.heat_w.iter().sum::<f64>() * 3600.0;
    let terms_j: f64 = record.months.iter().map(|m| m.heat_j[0]).sum();
    assert!((hourly_j - terms_j).abs() <= ROUNDING_SHARE * terms_j.abs());
}
