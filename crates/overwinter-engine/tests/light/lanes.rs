//! Houses stepped side by side, one in each lane, against the same houses stepped alone.

use crate::denver::{SOUTH, denver};
use crate::rooms::{CASE_600_PANE, facet, house, section, wall};
use overwinter_engine::control::{Heater, Setting};
use overwinter_engine::house::{House, Solid};
use overwinter_engine::ledger::HeatTerm;
use overwinter_engine::record::SeasonRecord;
use overwinter_engine::season::{STEPS_PER_HOUR, Season, run_season};
use overwinter_engine::sunlight::sunlight;
use overwinter_physics::number::Lanes;

fn heated(hold_k: f64) -> House {
    let windows = section(vec![SOUTH; 12], &[CASE_600_PANE, CASE_600_PANE]);
    let brick = Solid {
        freezing_heat_j_m3: 0.0,
        thickness_m: 0.1,
        conductivity_w_mk: 0.6,
        heat_capacity_j_m3k: 1.4e6,
    };
    let mut north = wall(facet(60.0, 90.0, 0.0), 0.6, 0.6);
    north.solids = vec![brick, brick];
    let mut house = house(48.0, vec![windows], vec![north]);
    for column in &mut house.floor.columns {
        column.solids = vec![brick; 3];
        column.sideways_w_m2k = vec![0.1; 3];
    }
    house.heat_set_k = Setting::Constant(hold_k);
    house.heaters = vec![Heater {
        name: "unit".to_owned(),
        output_w: 10_000.0,
        efficiency: 1.0,
        fuel: "electricity".to_owned(),
        electric_w: 0.0,
        needs_electricity: true,
        offset_k: 0.0,
        band_k: 1.0,
        convective_share: 1.0,
        water_kg_j: 0.0,
    }];
    house
}

fn heat_j(record: &SeasonRecord) -> f64 {
    let term = HeatTerm::Heater as usize;
    record.months.iter().map(|month| month.heat_j[term]).sum()
}

/// Annual heat of four houses side by side, and alone.
fn both_ways(holds_k: [f64; 4]) -> [(f64, f64); 4] {
    let year = denver();
    let houses = holds_k.map(heated);
    let suns = houses.each_ref().map(|house| sunlight(house, &year));
    let (houses, suns) = (houses.each_ref(), suns.each_ref());
    let years = [&year; 4];
    let together = Season::<Lanes<4>>::new(&houses, &suns, &years, STEPS_PER_HOUR)
        .and_then(|mut season| season.run())
        .expect("four houses of one layout");
    std::array::from_fn(|lane| {
        let alone = run_season(houses[lane], suns[lane], &year).expect("one house");
        (heat_j(&together[lane]), heat_j(&alone))
    })
}

#[test]
fn four_times_the_same_house_is_that_house() {
    for (together, alone) in both_ways([285.0; 4]) {
        assert!(alone > 1e9, "{alone} J");
        assert_eq!(together.to_bits(), alone.to_bits());
    }
}

#[test]
fn different_houses_share_nothing_but_their_time() {
    let ways = both_ways([278.0, 283.0, 288.0, 293.0]);
    for (together, alone) in ways {
        assert_eq!(together.to_bits(), alone.to_bits());
    }
    for pair in ways.windows(2) {
        assert!(pair[0].0 < pair[1].0, "a warmer house takes more heat");
    }
}
