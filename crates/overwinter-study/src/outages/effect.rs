//! What a failure changes in one house: failures that change the same are tried once.

use overwinter_engine::events::EventPlan;
use overwinter_engine::failure::{Door, EmptyGaps, Tear, TornFilm, Works};
use overwinter_engine::house::{House, Section, Space};
use overwinter_engine::outage::FailingNow;

use crate::case::TriedFailure;

/// What works and stands open, as far as it matters to a house.
#[derive(Clone, Debug, PartialEq)]
struct Left {
    heaters: Vec<bool>,
    blowers: bool,
    /// Circulation and vent fans, and the motors of screens.
    fans: bool,
    doors: Vec<Door>,
    tears: Vec<Tear>,
    screens: Option<bool>,
    gaps: Option<EmptyGaps>,
}

impl Left {
    fn new(house: &House, works: &Works) -> Self {
        let heaters = (0..house.heaters.len()).map(|heater| works.can_heat(house, heater));
        let blown = |space: &Space| matches!(space, Space::Inflated { .. });
        let is_inflated = house
            .sections
            .iter()
            .any(|section| section.spaces.iter().any(blown));
        let vent_fans = house
            .vents
            .as_ref()
            .map_or(0.0, |vents| vents.fan_flow_m3_s);
        let fans = &house.fans;
        let motor =
            |section: &Section| section.screen.as_ref().is_some_and(|s| s.needs_electricity);
        let has_fans = fans.circulation_w > 0.0
            || fans.air_speed_m_s > 0.0
            || vent_fans > 0.0
            || house.sections.iter().any(motor);
        let has_screens = house
            .sections
            .iter()
            .any(|section| section.screen.is_some());
        // A tear through both films also stands as a door.
        let opens_gap = |tear: &Tear| tear.film != TornFilm::Both || house.inflation.is_some();
        Self {
            heaters: heaters.collect(),
            blowers: !is_inflated || works.blowers_run(),
            fans: !has_fans || works.fans_run(),
            doors: works.doors().collect(),
            tears: works.tears().filter(opens_gap).collect(),
            screens: works.stuck_screens().filter(|_| has_screens),
            gaps: works.empty_gaps().filter(|_| is_inflated),
        }
    }

    fn all_heaters_run(&self) -> bool {
        self.heaters.iter().all(|runs| *runs)
    }
}

/// What a failure changes at once, and what a generator leaves of it later.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Effect {
    at_once: Left,
    later: Option<(f64, Left)>,
    moves_gaps: bool,
}

impl Effect {
    pub(super) fn of(house: &House, failing: &FailingNow) -> Self {
        let events: EventPlan = failing.events(0, f64::INFINITY);
        let at_once = Left::new(house, &events.works_at(0.0));
        let starts_after_h = failing.generator.as_ref().map(|g| g.start_after_h);
        let later = starts_after_h.map(|hours| (hours, Left::new(house, &events.works_at(hours))));
        let gaps_open =
            house.inflation.is_some() && (!at_once.blowers || !at_once.tears.is_empty());
        Self {
            moves_gaps: gaps_open,
            later: later.filter(|(_, later)| *later != at_once),
            at_once,
        }
    }

    /// True if a gap empties or opens: what that does is known within ranges alone.
    pub(super) fn moves_gaps(&self) -> bool {
        self.moves_gaps
    }

    /// True if all heaters can go on from start to end, and there are some.
    pub(super) fn heaters_go_on(&self) -> bool {
        !self.at_once.heaters.is_empty() && self.at_once.all_heaters_run()
    }
}

/// The failures of a plan without those that change the same.
pub(super) struct Failures {
    /// What fails in each that differs, and what it changes.
    pub(super) distinct: Vec<(FailingNow, Effect)>,
    /// For every failure of the plan, which of them it is.
    pub(super) of_plan: Vec<usize>,
}

impl Failures {
    pub(super) fn new(house: &House, tried: &[TriedFailure]) -> Self {
        let mut distinct: Vec<(FailingNow, Effect)> = Vec::new();
        let mut of_plan = Vec::with_capacity(tried.len());
        for failure in tried {
            let failing = failing(failure);
            let effect = Effect::of(house, &failing);
            let known = distinct.iter().position(|(_, before)| *before == effect);
            of_plan.push(known.unwrap_or(distinct.len()));
            if known.is_none() {
                distinct.push((failing, effect));
            }
        }
        Self { distinct, of_plan }
    }
}

/// A tried failure in the words of the engine.
pub(super) fn failing(tried: &TriedFailure) -> FailingNow {
    FailingNow {
        failures: tried.failures.clone(),
        generator: tried.generator.clone(),
    }
}

#[cfg(test)]
mod tests {
    use overwinter_engine::events::Generator;
    use overwinter_engine::failure::{Carried, Failure};

    use super::*;
    use crate::handmade;

    fn tried(name: &str, failures: Vec<Failure>, generator: Option<Generator>) -> TriedFailure {
        TriedFailure {
            name: name.to_owned(),
            failures,
            generator,
        }
    }

    #[test]
    fn failures_that_change_the_same_are_one() {
        // One film, one heater that needs electricity, no fans.
        let house = handmade::house();
        let generator = |carries| Generator {
            start_after_h: 0.5,
            carries,
        };
        let carrying = generator(Carried {
            heaters: vec![0],
            ..Carried::default()
        });
        let plan = [
            tried("heaters", vec![Failure::Heater(0)], None),
            tried("power", vec![Failure::Power], None),
            tried("power, generator", vec![Failure::Power], Some(carrying)),
            tried("blower", vec![Failure::Blower], None),
            tried(
                "idle generator",
                vec![Failure::Power],
                Some(generator(Carried::default())),
            ),
        ];
        let failures = Failures::new(&house, &plan);
        assert_eq!(failures.of_plan, [0, 0, 1, 2, 0]);
        let goes_on: Vec<bool> = failures
            .distinct
            .iter()
            .map(|(_, effect)| effect.heaters_go_on())
            .collect();
        assert_eq!(goes_on, [false, false, true]);
    }
}
