//! What stands in for the grid: `[generator]`.

use overwinter_engine::events::Generator;
use overwinter_engine::failure::Carried;
use overwinter_units::{Kind, System, print, range};

use super::loads::{self, Consumer};
use super::{Fitted, moments};
use crate::case::Load;
use crate::document::{Form, Part, not_among};

const STARTING_SOURCE: &str = "University of Florida IFAS AE63: a generator of about 3 times the \
    largest motor; starting current 2 to 7 times running";

/// A generator and everything that draws electricity.
#[derive(Clone, Debug)]
pub(super) struct Supply {
    /// The generator, if there is one.
    pub(super) generator: Option<Generator>,
    /// Its output.
    pub(super) output_w: Option<f64>,
    /// What draws electricity.
    pub(super) loads: Vec<Load>,
}

/// Reads `[generator]`.
pub(super) fn read(root: &Part<'_>, fitted: Fitted<'_>) -> Supply {
    let part = root.part("generator");
    let starting_times = part.quantity_or(
        "starting_times",
        &range::STARTING_TIMES,
        "3",
        STARTING_SOURCE,
    );
    let listed = loads::of(fitted, starting_times);
    if !root.has("generator") {
        return Supply {
            generator: None,
            output_w: None,
            loads: listed.into_iter().map(|(_, load)| load).collect(),
        };
    }
    let output_w = part.required("output", &range::GENERATOR_OUTPUT);
    let seconds = part.quantity_or(
        "start_after",
        &range::GENERATOR_START,
        "10 min",
        "estimate: someone there who starts it; seconds with an automatic one",
    );
    let start_after_h = moments::in_steps(&part, "start_after", seconds);
    let carries = carries(&part, fitted);
    part.finish();
    let is_carried = |consumer: Consumer| {
        let carries = carries.as_deref().unwrap_or_default();
        carries.contains(&consumer)
    };
    let marked = |(consumer, load): (Consumer, Load)| Load {
        carried: is_carried(consumer),
        ..load
    };
    let loads: Vec<Load> = listed.into_iter().map(marked).collect();
    if let Some(output_w) = output_w {
        check_size(&part, output_w, &loads);
    }
    let generator = start_after_h.zip(carries.as_deref());
    Supply {
        generator: generator.map(|(start_after_h, carries)| Generator {
            start_after_h,
            carries: carried(carries),
        }),
        output_w,
        loads,
    }
}

/// Everything of a house that a generator can carry, by name.
fn consumers(fitted: Fitted<'_>) -> Vec<(String, Consumer)> {
    let mut consumers = Vec::new();
    if fitted.is_inflated() {
        consumers.push(("blower".to_owned(), Consumer::Blowers));
    }
    if fitted.has_fans() {
        consumers.push(("fans".to_owned(), Consumer::Fans));
    }
    let heaters = fitted.house.heaters.iter().enumerate();
    consumers.extend(heaters.map(|(index, heater)| (heater.name.clone(), Consumer::Heater(index))));
    consumers
}

/// What the list names, else all that stops without the grid.
fn carries(part: &Part<'_>, fitted: Fitted<'_>) -> Option<Vec<Consumer>> {
    let there = consumers(fitted);
    part.may_be("carries", || {
        let names = ["blower", "fans", "unit heater"].map(str::to_owned);
        Form::Listed(Box::new(Form::Names(names.into())))
    });
    if !part.has("carries") {
        let stops = |consumer: &Consumer| match consumer {
            Consumer::Heater(index) => fitted.house.heaters[*index].needs_electricity,
            Consumer::Blowers | Consumer::Fans => true,
        };
        let all = there.into_iter().filter(|(_, consumer)| stops(consumer));
        let (names, consumers): (Vec<_>, Vec<_>) = all.unzip();
        let on_what = "everything that stops without the grid";
        let source = format!("{on_what}: {}", names.join(", "));
        part.note_derived(
            "carries",
            "all that needs electricity".to_owned(),
            &source,
            on_what,
        );
        return Some(consumers);
    }
    let mut carries = Vec::new();
    for (node, name) in part.texts("carries")? {
        let found = there.iter().find(|(known, _)| known == name);
        if found.is_none() {
            let known = there.iter().map(|(name, _)| name.as_str());
            let message = match there.is_empty() {
                true => {
                    "this house has nothing that needs electricity: leave [generator] out".into()
                }
                false => format!(
                    "this house has no such thing to carry; {}",
                    not_among(name, known)
                ),
            };
            part.refuse("carries", node, &message);
        }
        carries.push(found.map(|(_, consumer)| *consumer));
    }
    carries.into_iter().collect()
}

fn carried(consumers: &[Consumer]) -> Carried {
    let heater = |consumer: &Consumer| match consumer {
        Consumer::Heater(index) => Some(*index),
        Consumer::Blowers | Consumer::Fans => None,
    };
    Carried {
        heaters: consumers.iter().filter_map(heater).collect(),
        blowers: consumers.contains(&Consumer::Blowers),
        fans: consumers.contains(&Consumer::Fans),
    }
}

/// Refuses a generator that cannot run its list while the largest motor of it starts last.
fn check_size(part: &Part<'_>, output_w: f64, loads: &[Load]) {
    let (running_w, largest) = loads::demand_w(loads);
    let Some(largest) = largest else { return };
    let needed_w = running_w + largest.starting_w - largest.running_w;
    if needed_w <= output_w * (1.0 + 1e-9) {
        return;
    }
    let watts = |watts: f64| print(watts, Kind::Power, System::Si);
    let listed = loads.iter().filter(|load| load.carried);
    let listed: Vec<_> = listed
        .map(|load| format!("{} {}", load.name, watts(load.running_w)))
        .collect();
    let message = format!(
        "too small for its list: {} run at {} together, and {} takes {} while it starts; {} would \
         do, or carry less",
        listed.join(", "),
        watts(running_w),
        largest.name,
        watts(largest.starting_w),
        // Rounded up, so that what the message says is accepted.
        watts(round_up(needed_w))
    );
    part.problem("output", &message);
}

/// The next value of two figures.
fn round_up(watts: f64) -> f64 {
    let step = 10_f64.powf(watts.max(1.0).log10().floor() - 1.0);
    (watts / step - 1e-9).ceil() * step
}
