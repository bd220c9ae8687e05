//! What draws electricity on a cold night, running and starting.

use overwinter_engine::control::Heater;

use super::Fitted;
use crate::case::Load;
use crate::scenario::heating::ELECTRICITY;

/// What a generator can be asked to carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Consumer {
    /// The inflation blowers.
    Blowers,
    /// Circulation and vent fans.
    Fans,
    /// The heater with this index.
    Heater(usize),
}

/// The loads of a house; motors start at `starting_times` of what they draw running.
pub(super) fn of(fitted: Fitted<'_>, starting_times: f64) -> Vec<(Consumer, Load)> {
    let house = fitted.house;
    let motor = |consumer, name: String, running_w: f64| {
        let starting_w = starting_times * running_w;
        (consumer, load(name, running_w, starting_w))
    };
    let mut loads = Vec::new();
    if fitted.is_inflated() {
        let draws_w = fitted.blower_draws_w;
        for (index, draw_w) in draws_w.iter().enumerate() {
            let name = match draws_w.len() {
                1 => "blower".to_owned(),
                _ => format!("blower {}", index + 1),
            };
            loads.push(motor(Consumer::Blowers, name, *draw_w));
        }
    }
    let circulation = ("circulation fans", house.fans.circulation_w);
    let vents = house.vents.as_ref();
    let vent_fans = ("vent fans", vents.map_or(0.0, |vents| vents.fan_electric_w));
    for (name, running_w) in [circulation, vent_fans] {
        loads.push(motor(Consumer::Fans, name.to_owned(), running_w));
    }
    let heaters = house.heaters.iter().enumerate();
    loads.extend(heaters.map(|(index, heater)| {
        let running_w = running_w(heater);
        let starting_w = running_w + (starting_times - 1.0) * heater.electric_w;
        let load = load(heater.name.clone(), running_w, starting_w);
        (Consumer::Heater(index), load)
    }));
    loads.retain(|(_, load)| load.running_w > 0.0);
    loads
}

fn load(name: String, running_w: f64, starting_w: f64) -> Load {
    Load {
        name,
        running_w,
        starting_w,
        carried: false,
    }
}

/// Fan and controls, and the heat itself where it is electric.
fn running_w(heater: &Heater) -> f64 {
    let heat_w = if heater.fuel == ELECTRICITY {
        heater.output_w / heater.efficiency
    } else {
        0.0
    };
    heat_w + heater.electric_w
}

/// Draw of all loads that are carried, and what the largest starting motor takes beside its running
/// draw, W.
pub(super) fn demand_w(loads: &[Load]) -> (f64, Option<&Load>) {
    let carried = loads.iter().filter(|load| load.carried);
    let running_w = carried.clone().map(|load| load.running_w).sum();
    let extra = |load: &Load| load.starting_w - load.running_w;
    let largest = carried.max_by(|a, b| extra(a).total_cmp(&extra(b)));
    (running_w, largest)
}
