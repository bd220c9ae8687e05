//! Water between the films of an inflated cover, and the light that wet faces keep out.
#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

use overwinter_engine::house::{House, Space};
use overwinter_engine::model::{AIR, VAPOUR};
use overwinter_engine::record::{MoistureMonth, SeasonRecord, Side};
use overwinter_engine::season::{RUN_UP_H, STEPS_PER_HOUR, Season, run_season};
use overwinter_engine::sunlight::sunlight;
use overwinter_engine::wetness::wet_shares;
use overwinter_tests::{gaps, houses, years};
use overwinter_units::constants::ZERO_CELSIUS_K;
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

/// The roof's films in the list of places: the house side, and the side that meets the gap.
const INNER_FILM: usize = 0;
const OUTER_FILM: usize = 1;
/// October to April.
const WINTER: [usize; 7] = [9, 10, 11, 0, 1, 2, 3];

/// The house with a blower of a flow (by area of the roof) that takes outdoor or house air.
fn blown(flow: f64, from_inside: bool) -> House {
    let mut house = houses::inflated_pair();
    for space in &mut house.sections[0].spaces {
        if let Space::Inflated {
            flow_m3_s_m2,
            inside_air,
            ..
        } = space
        {
            *flow_m3_s_m2 = flow;
            *inside_air = from_inside;
        }
    }
    house
}

fn season(house: &House, file: &str) -> SeasonRecord {
    let year = years::shipped(file).expect("a shipped year reads");
    run_season(house, &sunlight(house, &year), &year).expect("the season is finished")
}

fn winter(record: &SeasonRecord, place: usize, of: impl Fn(&MoistureMonth) -> f64) -> f64 {
    let months = &record.moisture[place].months;
    WINTER.iter().map(|month| of(&months[*month])).sum()
}

/// 0.02 m3/s of house air with 4 g/kg more water than air at the outer film can hold leaves
/// `0.02 x 1.25 x 0.004 x 3600` = 0.36 kg/h there, worked by hand.
#[test]
fn house_air_in_a_gap_leaves_what_the_outer_film_cannot_hold() {
    let plain = houses::inflated_pair();
    let area_m2 = plain.sections[0].area_m2();
    let flow_m3_s = 0.02;
    let house = blown(flow_m3_s / area_m2, true);
    let year = years::Still::COLD_NIGHT.year();
    let sun = sunlight(&house, &year);
    let (houses, suns, years) = ([&house], [&sun], [&year]);
    let season = Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR);
    let mut season = season.expect("the house fits");
    season.run_up(0, 240).expect("ten nights");
    season.stepper().forget_moved();
    season.run_up(240, 264).expect("one more");
    let stepper = season.stepper();
    let kg_h = stepper.moved_so_far()[OUTER_FILM].condensed_kg_m2 * area_m2 / 24.0;
    let roof = &stepper.model.sections[0];
    let film_k = stepper.state.now[roof.offset + roof.layers[1].at];
    let house_kg_m3 = stepper.state.now[VAPOUR];
    let excess_kg_m3 = house_kg_m3 - houses::saturated_kg_m3(film_k);
    let by_hand = flow_m3_s * excess_kg_m3 * 3600.0;
    let at_4_g_kg = kg_h * 0.004 * stepper.model.air_density_kg_m3 / excess_kg_m3;
    println!(
        "outer film {:.1} C, house {:.1} C, {:.2} g/m3 too much: {kg_h:.4} kg/h, by hand \
         {by_hand:.4}; at 4 g/kg {at_4_g_kg:.3}",
        film_k - ZERO_CELSIUS_K,
        stepper.state.now[AIR] - ZERO_CELSIUS_K,
        excess_kg_m3 * 1e3
    );
    assert!((kg_h / by_hand - 1.0).abs() < 0.03, "{kg_h} {by_hand}");
    assert!((at_4_g_kg / 0.36 - 1.0).abs() < 0.04, "{at_4_g_kg}");
}

#[test]
fn a_gap_fed_from_inside_is_far_wetter_than_one_fed_from_outside() {
    for file in [years::COLD, years::MILD] {
        let of = |from_inside: bool| {
            let record = season(&blown(5e-5, from_inside), file);
            [
                winter(&record, OUTER_FILM, |month| month.condensed_kg),
                winter(&record, OUTER_FILM, |month| month.wet_h),
            ]
        };
        let ([outside_kg, outside_h], [inside_kg, inside_h]) = (of(false), of(true));
        println!(
            "{file}: fed from outside {outside_kg:.1} kg and {outside_h:.0} h, from inside \
             {inside_kg:.0} kg and {inside_h:.0} h"
        );
        assert!(inside_kg > 50.0 * outside_kg, "{inside_kg} {outside_kg}");
        assert!(
            inside_h > 4000.0 && outside_h < 100.0,
            "{inside_h} {outside_h}"
        );
    }
}

#[test]
fn more_house_air_brings_more_water() {
    let kg = [1e-5, 5e-5, 2e-4].map(|flow| {
        let record = season(&blown(flow, true), years::COLD);
        winter(&record, OUTER_FILM, |month| month.condensed_kg)
    });
    assert!(kg.windows(2).all(|pair| pair[1] > 2.0 * pair[0]), "{kg:?}");
}

/// Whichever way air comes in that hardly moves, the house is the same.
#[test]
fn a_blower_that_hardly_blows_is_the_same_from_both_sides() {
    let [outside, inside] = [false, true].map(|from_inside| {
        let record = season(&blown(1e-9, from_inside), years::COLD);
        let heat_j: f64 = record.months.iter().map(|month| month.heat_j[0]).sum();
        let inner_kg = winter(&record, INNER_FILM, |month| month.condensed_kg);
        [heat_j, inner_kg]
    });
    for (outside, inside) in outside.into_iter().zip(inside) {
        assert!((inside / outside - 1.0).abs() < 1e-3, "{inside} {outside}");
    }
}

/// Wet hours of the gap from 1 March, when it starts as wet as a film can be, over four weeks.
fn drying_h(year: &Year, flow: f64) -> f64 {
    let house = blown(flow, false);
    let sun = sunlight(&house, year);
    let (houses, suns, years) = ([&house], [&sun], [year]);
    let season = Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR);
    let mut season = season.expect("the house fits");
    let march = 59 * 24;
    season.run_up(HOURS - RUN_UP_H, HOURS).expect("the run-up");
    season.run_up(0, march).expect("the winter");
    season.stepper().state.water[OUTER_FILM].liquid_kg_m2 = 0.08;
    let mut wet_h = 0.0;
    for hour in march..march + 28 * 24 {
        season.run_up(hour, hour + 1).expect("an hour");
        let stepper = season.stepper();
        if wet_shares(&stepper.model, &stepper.state).gap > 0.1 {
            wet_h += 1.0;
        }
    }
    wet_h
}

/// Exhaust holes let more outdoor air through the gap.
#[test]
fn more_outdoor_air_dries_a_wet_gap_sooner() {
    for file in [years::COLD, years::MILD] {
        let year = years::shipped(file).expect("a shipped year reads");
        let wet_h = [1e-5, 5e-5, 2e-4].map(|flow| drying_h(&year, flow));
        println!("{file}: wet for {wet_h:.0?} h");
        assert!(wet_h.windows(2).all(|pair| pair[1] < pair[0]), "{wet_h:?}");
    }
}

/// The house with its blower inside and gaps that drain or do not.
fn fed_from_inside(has_drains: bool) -> House {
    let house = gaps::fed(blown(5e-5, true), true, true);
    let mut house = house.expect("hoses and blower of sizes that exist");
    if let Some(inflation) = &mut house.inflation {
        inflation.has_drains = has_drains;
    }
    house
}

#[test]
fn without_drain_holes_water_stands_in_the_gap_and_dries_back() {
    let [draining, closed] = [true, false].map(|has_drains| {
        let record = season(&fed_from_inside(has_drains), years::COLD);
        assert!(record.worst_water_residual < 1e-6);
        assert!(record.worst_energy_residual < 1e-6);
        record
    });
    let sum = |record: &SeasonRecord, of: &dyn Fn(&MoistureMonth) -> f64| -> f64 {
        record.moisture[OUTER_FILM].months.iter().map(of).sum()
    };
    let most_kg = |record: &SeasonRecord| {
        let months = record.moisture[OUTER_FILM].months.iter();
        months.map(|month| month.kept_in_gap_kg).fold(0.0, f64::max)
    };
    println!(
        "with drains {:.0} kg drained, without {:.0} kg at most in the gap, {:.0} kg more dried back",
        sum(&draining, &|month| month.drained_kg),
        most_kg(&closed),
        sum(&closed, &|month| month.evaporated_kg) - sum(&draining, &|month| month.evaporated_kg)
    );
    assert!(sum(&draining, &|month| month.drained_kg) > 100.0);
    assert!(most_kg(&draining).abs() < 1e-12);
    assert!(sum(&closed, &|month| month.drained_kg).abs() < 1e-12);
    assert!(most_kg(&closed) > 50.0);
    let dried = sum(&closed, &|month| month.evaporated_kg);
    assert!(dried > sum(&draining, &|month| month.evaporated_kg) + 10.0);
    // What settled has dried off, or is held.
    let months = &closed.moisture[OUTER_FILM].months;
    let mut held_kg = months[0].held_kg;
    for month in &months[1..] {
        held_kg += month.condensed_kg - month.evaporated_kg;
        assert!((held_kg - month.held_kg).abs() < 1e-6 * held_kg.max(1.0));
    }
}

/// Nothing that runs off in a gap reaches the crop.
#[test]
fn water_in_the_gap_does_not_drip_on_the_crop() {
    let record = season(&blown(2e-4, true), years::COLD);
    let gap = &record.moisture[OUTER_FILM];
    assert_eq!(gap.side, Side::Gap);
    assert_eq!(gap.name, "roof: outer film (film), in the gap");
    assert_eq!(
        record.moisture[INNER_FILM].name,
        "roof: inner film (film), house side"
    );
    assert!(winter(&record, OUTER_FILM, |month| month.drained_kg) > 100.0);
    assert!(winter(&record, OUTER_FILM, |month| month.dripped_kg).abs() < 1e-12);
    assert!(winter(&record, INNER_FILM, |month| month.dripped_kg) > 100.0);
}

/// Light that the covers of a house would let in over the year, dry, J.
fn dry_light_j(house: &House, file: &str) -> f64 {
    let year = years::shipped(file).expect("a shipped year reads");
    let sun = sunlight(house, &year);
    let (houses, suns, years) = ([house], [&sun], [&year]);
    let season = Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR);
    let mut season = season.expect("the house fits");
    let mut sum_j = 0.0;
    for hour in 0..HOURS {
        for share in [0.5, 1.0] {
            let light_w = &season.conditions_at(hour, share).sun.dry_light_w;
            sum_j += light_w.iter().sum::<f64>() * 1800.0;
        }
    }
    sum_j
}

/// Light lost is what comes in less than into a house whose wet films keep out no light: of both the
/// house absorbs the same share, and lets the rest out again.
#[test]
fn light_lost_is_what_the_house_lacks() {
    for (layers, from_inside) in [(1, false), (2, false), (2, true)] {
        let mut house = if layers == 1 {
            houses::single_film()
        } else {
            blown(5e-5, from_inside)
        };
        let darkened = season(&house, years::COLD);
        for section in &mut house.sections {
            for layer in &mut section.layers {
                layer.wetting.light_loss = 0.0;
            }
        }
        let clear = season(&house, years::COLD);
        let inside_j = |record: &SeasonRecord| record.hours.solar_w.iter().sum::<f64>() * 3600.0;
        let lost_j = |record: &SeasonRecord| -> f64 {
            let months = record.moisture.iter().flat_map(|place| &place.months);
            months.map(|month| month.light_lost_j).sum()
        };
        let dry_j = dry_light_j(&house, years::COLD);
        let kept_share = inside_j(&clear) / dry_j;
        let lacking_j = (inside_j(&clear) - inside_j(&darkened)) / kept_share;
        println!(
            "{layers} films, from inside {from_inside}: {:.0} of {:.0} kWh lost, {:.0} by what the \
             house lacks",
            lost_j(&darkened) / 3.6e6,
            dry_j / 3.6e6,
            lacking_j / 3.6e6
        );
        assert!(lost_j(&clear).abs() < 1e-6);
        let found = lost_j(&darkened) / lacking_j;
        assert!((found - 1.0).abs() < 0.02, "{found}");
    }
}

/// Shares of faces by area: the roof's gap is the only one, its inner film and the ends stand for the
/// house side.
#[test]
fn wet_shares_are_means_by_area() {
    let house = houses::inflated_pair();
    let year = years::Still::COLD_NIGHT.year();
    let sun = sunlight(&house, &year);
    let (houses, suns, years) = ([&house], [&sun], [&year]);
    let season = Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR);
    let mut season = season.expect("the house fits");
    let stepper = season.stepper();
    let dry = wet_shares(&stepper.model, &stepper.state);
    assert!(dry.film.abs() < 1e-12 && dry.gap.abs() < 1e-12);
    // Half of what covers a face.
    stepper.state.water[OUTER_FILM].ice_kg_m2 = 0.015;
    stepper.state.water[INNER_FILM].liquid_kg_m2 = 0.06;
    let wet = wet_shares(&stepper.model, &stepper.state);
    let [roof_m2, ends_m2] = [0, 1].map(|section| house.sections[section].area_m2());
    assert!((wet.gap - 0.5).abs() < 1e-12, "{wet:?}");
    assert!(
        (wet.film - roof_m2 / (roof_m2 + ends_m2)).abs() < 1e-12,
        "{wet:?}"
    );
}

/// The air gets no water from faces that have none: what a face owes at the end of a step is repaid, and
/// does not grow from night to night.
#[test]
fn no_face_owes_more_than_a_trace_at_the_end_of_a_month() {
    for (house, file) in [
        (blown(5e-5, false), years::COLD),
        (houses::film_house(2, 15.0, 150e3), years::MILD),
        (houses::unheated_tunnel(), years::COLDEST),
    ] {
        let record = season(&house, file);
        for place in record.moisture.iter().filter(|place| place.area_m2 > 0.0) {
            let lowest = place
                .months
                .iter()
                .map(|month| month.held_kg / place.area_m2);
            let lowest = lowest.fold(f64::INFINITY, f64::min);
            println!("{file}, {}: {:.2} g/m2 at least", place.name, lowest * 1e3);
            assert!(lowest > -0.75e-3, "{file}, {}: {lowest} kg/m2", place.name);
        }
    }
}
