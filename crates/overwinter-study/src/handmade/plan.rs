//! Failures to try, chosen by hand.

use overwinter_engine::events::Generator;
use overwinter_engine::failure::{Carried, Failure};

use super::FREEZING_K;
use crate::case::{NightStart, OutagePlan, TriedFailure};

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
                "power, generator starts",
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
