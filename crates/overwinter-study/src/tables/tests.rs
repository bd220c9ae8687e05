//! Tables of the season made by hand; every expected value is worked out from its numbers.

use super::{Table, Values, balance, calendar::Span, frost_risk, fuel_use, hourly, moisture};
use crate::case::{Case, EmissionFactors, Fuel};
use crate::handmade;
use overwinter_engine::record::{HeaterMonth, SeasonRecord};
use overwinter_weather::YearKind;
use std::sync::Arc;

fn number(table: &Table, column: &str, row: usize) -> Option<f64> {
    let found = table.column(column);
    match &found.unwrap_or_else(|| panic!("no column {column}")).values {
        Values::Number(values) => values[row],
        other => panic!("{column} is no quantity: {other:?}"),
    }
}

fn text(table: &Table, column: &str, row: usize) -> Option<String> {
    let found = table.column(column);
    match &found.unwrap_or_else(|| panic!("no column {column}")).values {
        Values::Text(values) => values[row].as_deref().map(str::to_owned),
        other => panic!("{column} is no text: {other:?}"),
    }
}

#[track_caller]
fn check(table: &Table, column: &str, row: usize, expected: f64) {
    let found = number(table, column, row);
    let found = found.unwrap_or_else(|| panic!("{column} is empty in row {row}"));
    let error = (found - expected).abs();
    assert!(
        error <= 1e-6 * expected.abs().max(1e-6),
        "{column} in row {row}: {found} instead of {expected}"
    );
}

fn fuel_table(case: &Case, record: &SeasonRecord) -> Table {
    fuel_use::table(fuel_use::rows(case, record).iter())
}

#[test]
fn one_fuel_gives_one_row_a_month() {
    let table = fuel_table(&handmade::case(1, "a"), &handmade::record());
    assert_eq!(table.row_count(), 13);
    // 7.2 GJ / 0.8 / 100 MJ a gallon = 90 gal in January, 45 gal in February.
    check(&table, "fuel_used_in_fuel_unit", 0, 135.0);
    check(&table, "fuel_used_in_fuel_unit", 1, 90.0);
    check(&table, "fuel_used_in_fuel_unit", 2, 45.0);
    check(&table, "fuel_used_in_fuel_unit", 3, 0.0);
    check(&table, "heat_kwh", 0, 3000.0);
    check(&table, "fuel_kwh", 0, 3750.0);
    // 1 MMBtu = 293.071 07 kWh (NIST SP 811, 2008, appendix B.8).
    check(&table, "fuel_mmbtu", 0, 3750.0 / 293.071_07);
    check(&table, "fuel_cost_in_currency", 1, 180.0);
    // 90 gal of 100 MJ at 60 kg/GJ.
    check(&table, "co2_kg", 1, 540.0);
    // Of each of the 90 gal 6 kg of carbon dioxide, 0.2 of methane (28 times) and 0.01 of nitrous oxide
    // (265 times).
    check(&table, "co2e_kg", 1, 90.0 * (6.0 + 5.6 + 2.65));
    check(&table, "co2_biogenic_kg", 1, 0.0);
    assert_eq!(text(&table, "fuel", 0).as_deref(), Some("propane"));
    assert_eq!(text(&table, "fuel_unit", 0).as_deref(), Some("gal"));
    assert_eq!(text(&table, "row_is", 12).as_deref(), Some("house"));
}

#[test]
fn peaks_and_electricity_of_the_house() {
    let table = fuel_table(&handmade::case(1, "a"), &handmade::record());
    check(&table, "peak_heat_kw", 0, 10.0);
    check(&table, "peak_heat_kw", 2, 2.0);
    let when = |row| text(&table, "peak_heat_month_day_hour", row);
    assert_eq!(when(0).as_deref(), Some("01-10 00:00"));
    assert_eq!(when(2).as_deref(), Some("02-01 00:00"));
    assert_eq!(when(7), None);
    check(&table, "peak_heat_kbtu_h", 0, 34.121_416);
    check(&table, "heater_peak_kw", 0, 12.0);
    check(&table, "heater_output_kw", 0, 30.0);
    check(&table, "full_output_h", 0, 5.0);
    check(&table, "unmet_heat_kwh", 1, 5.0);
    check(&table, "below_set_k_h", 0, 2.5);
    assert_eq!(number(&table, "output_that_holds_kw", 0), None);
    check(&table, "heater_electricity_kwh", 0, 15.0);
    check(&table, "blower_electricity_kwh", 0, 12.0);
    check(&table, "circulation_electricity_kwh", 0, 24.0);
    check(&table, "vent_fan_electricity_kwh", 7, 10.0);
    // (15 + 12 + 24 + 10) kWh at 0.5 a kWh.
    check(&table, "electricity_cost_in_currency", 0, 30.5);
}

#[test]
fn the_output_that_holds_stands_with_the_year() {
    let mut record = handmade::record();
    record.holding_peak_w = Some(42e3);
    let table = fuel_table(&handmade::case(1, "a"), &record);
    check(&table, "output_that_holds_kw", 0, 42.0);
    // 1 kW = 3.412 14 kBtu/h (NIST SP 811, 2008, appendix B.8).
    check(&table, "output_that_holds_kbtu_h", 0, 42.0 * 3.412_141_6);
    assert_eq!(number(&table, "output_that_holds_kw", 1), None);
}

#[test]
fn the_worst_week_is_the_cold_one() {
    let table = fuel_table(&handmade::case(1, "a"), &handmade::record());
    // 168 h at 10 kW = 1,680 kWh = 6.048 GJ; / 0.8 / 100 MJ = 75.6 gal.
    for row in [0, 1] {
        assert_eq!(
            text(&table, "worst_week_first_month_day", row).as_deref(),
            Some("01-10")
        );
        check(&table, "worst_week_heat_kwh", row, 1680.0);
        check(&table, "worst_week_fuel_in_fuel_unit", row, 75.6);
    }
    // February is level, so that its first day starts the first of its equal weeks.
    assert_eq!(
        text(&table, "worst_week_first_month_day", 2).as_deref(),
        Some("02-01")
    );
    check(&table, "worst_week_heat_kwh", 2, 336.0);
    assert_eq!(text(&table, "worst_week_first_month_day", 7), None);
}

#[test]
fn several_fuels_have_rows_of_their_own_that_add_up() {
    let mut case = handmade::case(1, "a");
    let mut house = handmade::house();
    house
        .heaters
        .push(handmade::heater("second", "electricity"));
    case.house = Arc::new(house);
    case.fuels.push(Fuel {
        name: "electricity".to_owned(),
        unit: "kWh".to_owned(),
        energy_j_per_unit: 3.6e6,
        price_per_unit: Some(0.25),
        emission_factors: Some(EmissionFactors {
            carbon_dioxide_kg_j: 100e-9,
            is_biogenic: false,
            methane_kg_j: None,
            nitrous_oxide_kg_j: None,
        }),
    });
    let mut record = handmade::record();
    let mut second = [HeaterMonth::default(); 12];
    second[0].heat_j = 2.88e9;
    second[0].full_output_h = 2.0;
    record.heaters.push(second);
    let table = fuel_table(&case, &record);
    assert_eq!(table.row_count(), 39);
    let covers: Vec<_> = (0..3)
        .filter_map(|row| text(&table, "row_is", row))
        .collect();
    assert_eq!(covers, ["house", "fuel", "fuel"]);
    assert_eq!(text(&table, "fuel", 0).as_deref(), Some("several"));
    assert_eq!(number(&table, "fuel_used_in_fuel_unit", 0), None);
    check(&table, "fuel_used_in_fuel_unit", 1, 135.0);
    // 2.88 GJ / 0.8 / 3.6 MJ = 1,000 kWh.
    check(&table, "fuel_used_in_fuel_unit", 2, 1000.0);
    check(&table, "fuel_cost_in_currency", 0, 270.0 + 250.0);
    check(&table, "co2_kg", 0, 135.0 * 6.0 + 360.0);
    check(&table, "heat_kwh", 0, 3800.0);
    check(&table, "full_output_h", 0, 2.0);
    assert_eq!(number(&table, "blower_electricity_kwh", 1), None);
    assert_eq!(number(&table, "worst_week_fuel_in_fuel_unit", 0), None);
}

#[test]
fn a_missing_price_leaves_the_cost_empty() {
    let mut case = handmade::case(1, "a");
    case.fuels[0].price_per_unit = None;
    case.electricity_price_per_kwh = None;
    let table = fuel_table(&case, &handmade::record());
    assert_eq!(number(&table, "fuel_cost_in_currency", 0), None);
    assert_eq!(number(&table, "electricity_cost_in_currency", 0), None);
}

/// A second fuel that is wood is counted apart; one of which nothing is known leaves the sum empty.
#[test]
fn carbon_dioxide_of_wood_stands_apart() {
    let mut case = handmade::case(1, "a");
    let wood = EmissionFactors {
        carbon_dioxide_kg_j: 90e-9,
        is_biogenic: true,
        methane_kg_j: Some(1e-9),
        nitrous_oxide_kg_j: None,
    };
    case.fuels[0].emission_factors = Some(wood);
    let table = fuel_table(&case, &handmade::record());
    check(&table, "co2_kg", 0, 0.0);
    check(&table, "co2_biogenic_kg", 0, 135.0 * 9.0);
    // Its methane counts: 0.1 kg a gallon, as 28 times that of carbon dioxide.
    check(&table, "co2e_kg", 0, 135.0 * 2.8);
    case.fuels[0].emission_factors = None;
    let table = fuel_table(&case, &handmade::record());
    assert_eq!(number(&table, "co2_kg", 0), None);
    assert_eq!(number(&table, "co2_biogenic_kg", 0), None);
    assert_eq!(number(&table, "co2e_kg", 0), None);
}

#[test]
fn an_unheated_house_uses_no_fuel() {
    let mut case = handmade::case(1, "a");
    let mut house = handmade::house();
    house.heaters.clear();
    case.house = Arc::new(house);
    let mut record = handmade::record();
    record.heaters.clear();
    record.hours.heat_w.fill(0.0);
    let table = fuel_table(&case, &record);
    assert_eq!(text(&table, "fuel", 0).as_deref(), Some("none"));
    check(&table, "heat_kwh", 0, 0.0);
    check(&table, "full_output_h", 0, 0.0);
    assert_eq!(text(&table, "worst_week_first_month_day", 0), None);
}

#[test]
fn frost_is_counted_by_air_and_leaf() {
    let rows = frost_risk::rows(
        &handmade::case(1, "a"),
        &handmade::record(),
        YearKind::Typical,
    );
    let table = frost_risk::table(rows.iter());
    assert_eq!(table.row_count(), 2);
    check(&table, "limit_degc", 0, 0.0);
    check(&table, "limit_degf", 1, 50.0);
    // Leaf below 0 C: -1, -3, -2, -0.5 in a row and -0.5 alone; air is 1 K warmer: 0, -2, -1, 0.5.
    check(&table, "below_by_leaf_h", 0, 5.0);
    check(&table, "below_by_leaf_k_h", 0, 7.0);
    check(&table, "below_by_leaf_degf_h", 0, 12.6);
    check(&table, "longest_spell_by_leaf_h", 0, 4.0);
    check(&table, "below_by_leaf_nights", 0, 1.0);
    check(&table, "below_by_air_h", 0, 2.0);
    check(&table, "below_by_air_k_h", 0, 3.0);
    check(&table, "longest_spell_by_air_h", 0, 2.0);
    // Below 10 C the turn of the year is one more night with two hours.
    check(&table, "below_by_leaf_h", 1, 7.0);
    check(&table, "below_by_leaf_nights", 1, 2.0);
    check(&table, "lowest_leaf_degc", 0, -3.0);
    check(&table, "lowest_leaf_degf", 0, 26.6);
    check(&table, "lowest_air_degc", 0, -2.0);
    let when = text(&table, "lowest_leaf_month_day_hour", 0);
    assert_eq!(when.as_deref(), Some("01-10 00:00"));
    // Four hours below are three doublings of 30 min, so that half damage stands at -2 + 1.5 C:
    // 1 / (1 + exp(-0.5 (-0.5 - -3))) = 1 / (1 + exp(-1.25)).
    check(&table, "damage_share_0_to_1", 0, 0.777_299_86);
    assert_eq!(number(&table, "damage_share_0_to_1", 1), None);
    assert_eq!(text(&table, "crop_lost", 0).as_deref(), Some("yes"));
    assert_eq!(text(&table, "crop_lost", 1).as_deref(), Some("no"));
}

#[test]
fn a_night_harms_once_the_leaf_was_below_for_the_lag() {
    let nights = |lag_h: f64| {
        let mut case = handmade::case(1, "a");
        case.frost_limits
            .iter_mut()
            .for_each(|limit| limit.lag_h = lag_h);
        let rows = frost_risk::rows(&case, &handmade::record(), YearKind::Typical);
        let table = frost_risk::table(rows.iter());
        check(&table, "lag_h", 1, lag_h);
        [0, 1].map(|row| number(&table, "harm_by_leaf_nights", row))
    };
    // Below 0 C four hours in a row and one alone, in one night; below 10 C two single hours of the
    // turn of the year as well.
    assert_eq!(nights(0.0), [Some(1.0), Some(2.0)]);
    assert_eq!(nights(0.25), [Some(1.0), Some(2.0)]);
    assert_eq!(nights(1.5), [Some(1.0), Some(1.0)]);
    assert_eq!(nights(4.0), [Some(1.0), Some(1.0)]);
    assert_eq!(nights(4.5), [Some(0.0), Some(0.0)]);
}

#[test]
fn a_spell_over_the_turn_of_the_year_is_one() {
    let mut record = handmade::record();
    let leaf_k = &mut record.hours.top_leaf_lowest_k;
    leaf_k.fill(285.0);
    for hour in [8758, 8759, 0, 1] {
        leaf_k[hour] = 272.0;
    }
    let mut case = handmade::case(1, "a");
    for (lag_h, nights) in [(4.0, 1), (5.0, 0)] {
        case.frost_limits[0].lag_h = lag_h;
        let rows = frost_risk::rows(&case, &record, YearKind::Typical);
        assert_eq!(rows[0].harm_nights, Some(nights), "{lag_h}");
    }
}

#[test]
fn a_house_without_a_crop_has_no_leaf() {
    let mut case = handmade::case(1, "a");
    let mut house = handmade::house();
    house.crop = None;
    case.house = Arc::new(house);
    let rows = frost_risk::rows(&case, &handmade::record(), YearKind::Typical);
    let table = frost_risk::table(rows.iter());
    assert_eq!(number(&table, "below_by_leaf_h", 0), None);
    assert_eq!(number(&table, "harm_by_leaf_nights", 0), None);
    assert_eq!(number(&table, "lowest_leaf_degc", 0), None);
    assert_eq!(number(&table, "damage_share_0_to_1", 0), None);
    check(&table, "below_by_air_h", 0, 2.0);
}

#[test]
fn moisture_sums_over_the_year() {
    let rows = moisture::rows(&handmade::case(1, "a"), &handmade::record());
    let table = moisture::table(rows.iter());
    // One place, and the whole house.
    assert_eq!(table.row_count(), 26);
    check(&table, "condensed_kg", 0, 120.0);
    check(&table, "drained_kg", 0, 36.0);
    check(&table, "frozen_kg", 0, 6.0);
    check(&table, "wet_h", 0, 1200.0);
    check(&table, "held_at_end_kg", 0, 12.0);
    check(&table, "held_at_end_kg", 3, 3.0);
    check(&table, "condensed_kg", 3, 10.0);
    check(&table, "light_lost_to_water_kwh", 0, 12.0);
    // The most that stood in the gap in any month, not a sum; 6 kg are 1.585 US gallons.
    check(&table, "kept_in_gap_kg", 0, 6.0);
    check(&table, "kept_in_gap_kg", 3, 1.5);
    let gallons = number(&table, "kept_in_gap_gal", 0).expect("a number");
    assert!((gallons - 1.585).abs() < 1e-3, "{gallons}");
    check(&table, "condensed_kg", 13, 120.0);
    check(&table, "light_lost_to_water_kwh", 13 + 3, 1.0);
    assert_eq!(number(&table, "wet_h", 13), None);
}

#[test]
fn balance_holds_every_term_and_its_sum() {
    let rows = balance::rows(&handmade::case(1, "a"), &handmade::record());
    let table = balance::table(rows.iter());
    assert_eq!(table.row_count(), 13);
    // Keys 3, heat terms 15 with store and residual, water terms 8 with store and residual, air and
    // peaks 5.
    assert_eq!(table.columns.len(), 3 + 17 + 10 + 5);
    check(&table, "heat_heater_kwh", 0, 3000.0);
    check(&table, "heat_stored_kwh", 0, 1.0);
    check(&table, "heat_residual_kwh", 1, 1e-5);
    check(&table, "span_h", 0, 8760.0);
}

#[test]
fn hourly_has_every_hour_with_the_weather_beside_it() {
    let case = handmade::case(1, "a");
    let year = Arc::new(handmade::year());
    let hours = hourly::hours(&case, handmade::record(), &year);
    let table = hourly::table([hours].iter());
    assert_eq!(table.row_count(), 8760);
    check(&table, "outdoor_air_degf", 0, 14.0);
    check(&table, "heat_kw", 9 * 24, 10.0);
    check(&table, "top_leaf_lowest_degc", 9 * 24, -3.0);
    check(&table, "below_set_k", 9 * 24, 2.5);
}

#[test]
fn nights_of_failures_are_told_in_both_units() {
    let outages = handmade::outages();
    let table = super::outages::table(outages.rows.iter());
    assert_eq!(text(&table, "start", 0).as_deref(), Some("midnight"));
    check(&table, "lowest_leaf_worst_degc", 0, -8.0);
    check(&table, "lowest_leaf_worst_low_degf", 0, 14.0);
    check(&table, "lowest_leaf_design_clear_high_degc", 0, -7.0);
    // Hour 1 of 10 January belongs to the night that began on the 9th; 17:00 of 1 February to its own.
    let worst = text(&table, "worst_night_month_day", 0);
    assert_eq!(worst.as_deref(), Some("01-09"));
    let air = text(&table, "lowest_air_worst_month_day", 0);
    assert_eq!(air.as_deref(), Some("02-01"));
    check(&table, "to_alarm_shortest_min", 0, 15.0);
    check(&table, "to_limit_design_windy_min", 0, 30.0);
    check(&table, "nights_lost_share_0_to_1", 0, 2.0 / 3.0);
    check(&table, "alarm_set_point_degf", 0, 37.4);
    check(&table, "standby_output_worst_kw", 0, 40.0);
    // 1 kW = 3.412 14 kBtu/h (NIST SP 811, 2008, appendix B.8).
    check(&table, "extra_heat_worst_kbtu_h", 0, 2.0 * 3.412_141_6);
    check(&table, "hold_missed_worst_degf", 0, 0.9);
    let night = super::night::table(outages.curves.iter());
    let start = text(&night, "start_month_day_hour", 0);
    assert_eq!(start.as_deref(), Some("01-09 17:00"));
    check(&night, "after_min", 0, 5.0);
    check(&night, "leaf_degf", 0, 35.6);
    check(&night, "heat_kw", 0, 0.5);
}

#[test]
fn month_numbers_follow_the_year() {
    let rows = balance::rows(&handmade::case(1, "a"), &handmade::record());
    let numbers: Vec<i64> = rows.iter().map(|row| row.span.number()).collect();
    assert_eq!(numbers, (0..=12).collect::<Vec<i64>>());
    assert_eq!(rows[0].span, Span::YEAR);
}
