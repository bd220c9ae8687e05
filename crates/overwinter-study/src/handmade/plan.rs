//! Failures to try, chosen by hand.

use overwinter_engine::events::Generator;
use std::sync::Arc;

use overwinter_engine::failure::{Carried, Failure};
use overwinter_engine::outage::{CurvePoint, Drying, Wet};
use overwinter_engine::wetness::WetShares;

use super::FREEZING_K;
use crate::case::{NightStart, OutagePlan, TriedFailure};
use crate::outages::CaseOutages;
use crate::tables::night::{NightCurve, NightIs};
use crate::tables::outages::{AllNights, HeatersGoOn, JudgedBy, OneNight, OutageRow, Reached};

fn tried(name: &str, failures: Vec<Failure>, generator: Option<Generator>) -> TriedFailure {
    TriedFailure {
        name: name.to_owned(),
        failures,
        generator,
    }
}

/// A heater that fails, and a grid whose place a generator takes after half an hour.
pub(crate) fn outage_plan() -> OutagePlan {
    let generator = Generator {
        start_after_h: 0.5,
        carries: Carried {
            heaters: vec![0],
            ..Carried::default()
        },
    };
    OutagePlan {
        failures: vec![
            tried("heaters", vec![Failure::Heater(0)], None),
            tried(
                "power with generator",
                vec![Failure::Power],
                Some(generator),
            ),
        ],
        lengths_h: vec![2.0, 8.0, 24.0],
        starts: vec![NightStart::Dusk, NightStart::BeforeDawn],
        alarm_k: FREEZING_K + 2.0,
        travel_h: 0.25,
        limit: 0,
        emergency_hold_k: FREEZING_K + 1.0,
        loads: Vec::new(),
        generator_w: None,
    }
}

/// What failures did: two nights of three lost, one of them too fast; every column has a value.
pub(crate) fn outages() -> CaseOutages {
    CaseOutages {
        rows: vec![row()],
        curves: vec![NightCurve {
            case_id: 1,
            failure: Arc::from("power with generator"),
            night: NightIs::Worst,
            start_hour: 8 * 24 + 17,
            points: vec![CurvePoint {
                after_h: 1.0 / 12.0,
                air_k: FREEZING_K + 4.0,
                leaf_k: FREEZING_K + 2.0,
                outdoor_k: FREEZING_K - 10.0,
                heat_w: 500.0,
                touching_share: 0.25,
                wet: WetShares {
                    film: 0.5,
                    gap: 0.75,
                },
            }],
        }],
    }
}

fn row() -> OutageRow {
    let reached = Reached {
        median_h: Some(0.5),
        shortest_h: Some(0.25),
        share: 2.0 / 3.0,
    };
    let night = OneNight {
        start_hour: 9 * 24 + 1,
        leaf_k: FREEZING_K - 8.0,
        leaf_range_k: Some([FREEZING_K - 10.0, FREEZING_K - 7.0]),
        air_k: FREEZING_K - 6.0,
        alarm_h: Some(0.1),
        freezing_h: Some(0.25),
        limit_h: Some(0.5),
        is_lost: true,
        plateau_k: Some(FREEZING_K - 3.0),
        standby_w: Some(40e3),
        heaters: Some(HeatersGoOn {
            missed_k: 0.5,
            extra_w: 2e3,
        }),
    };
    OutageRow {
        case_id: 1,
        failure: Arc::from("power"),
        start: NightStart::Midnight,
        length_h: 8.0,
        nights: 3,
        judged_by: JudgedBy {
            limit_name: Arc::from("lettuce"),
            limit_k: FREEZING_K - 2.0,
            lag_h: 0.25,
            alarm_k: FREEZING_K + 2.0,
            travel_h: 0.5,
            emergency_hold_k: FREEZING_K + 1.0,
        },
        all: Some(AllNights {
            leaf_median_k: FREEZING_K - 5.0,
            air_median_k: FREEZING_K - 4.0,
            air_worst_k: FREEZING_K - 6.5,
            air_worst_start_hour: 31 * 24 + 17,
            alarm: reached,
            freezing: reached,
            limit: reached,
            plateau_median_k: Some(FREEZING_K - 1.0),
            plateau_worst_k: Some(FREEZING_K - 3.0),
            lost: 2,
            lost_without: 0,
            too_fast: 1,
            alarm_set_k: Some(FREEZING_K + 3.0),
        }),
        worst: Some(night.clone()),
        clear: Some(night.clone()),
        windy: Some(night),
        drying: Some(Drying {
            film: Wet {
                dry_h: Some(30.0),
                dry_without_h: Some(6.0),
                wetter_h: 12.0,
            },
            gap: Wet::default(),
        }),
    }
}
