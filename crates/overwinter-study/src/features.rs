//! What the cases of a study have among them, as far as the screen and the tables must know it before
//! any case has run.

use std::borrow::Cow;
use std::ops::Range;

use overwinter_engine::failure::Failure;
use overwinter_engine::house::{Layer, Section, Space};
use overwinter_weather::Stress;
use serde::{Deserialize, Serialize};

use crate::case::Case;

/// Longwave transmittance of films with an infrared additive (Geoola et al. 2011: 8 and 35
/// percent); panes and sheets let less through, plain films more.
const INFRARED_FILM: Range<f64> = 0.05..0.5;

/// What some cases have among them; of none at first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Features {
    /// Names of the layers of every section of the first case.
    first_covers: Option<Vec<Vec<String>>>,
    /// True if the cases differ in them.
    pub covers_differ: bool,
    /// True if some cover has a film with an infrared additive.
    pub infrared_film: bool,
    /// True if some case blows house air between its films.
    pub house_air_in_gaps: bool,
    /// What fails in the year of the first case that has events.
    pub events: Option<YearEvents>,
    /// True if some case tries failures on every night.
    pub tries_failures: bool,
    /// True if some case counts money.
    pub counts_money: bool,
    /// Climate and stress of every case that has a stress.
    stresses: Vec<(usize, Stress)>,
}

/// What fails in the year of a case.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct YearEvents {
    /// What fails first.
    pub what: Cow<'static, str>,
    /// Hour of the year in which it begins.
    pub hour: usize,
    /// How long it lasts, h.
    pub length_h: f64,
    /// How many more there are.
    pub more: usize,
}

impl Features {
    /// Adds the next case.
    pub fn add(&mut self, case: &Case) {
        let one = Self::of(case);
        *self = std::mem::take(self).with(one);
    }

    /// These cases and later ones.
    #[must_use]
    pub fn with(mut self, later: Self) -> Self {
        let differ = match (&self.first_covers, &later.first_covers) {
            (Some(first), Some(other)) => first != other,
            _ => false,
        };
        self.stresses.extend(later.stresses);
        Self {
            covers_differ: self.covers_differ || later.covers_differ || differ,
            first_covers: self.first_covers.or(later.first_covers),
            infrared_film: self.infrared_film || later.infrared_film,
            house_air_in_gaps: self.house_air_in_gaps || later.house_air_in_gaps,
            events: self.events.or(later.events),
            tries_failures: self.tries_failures || later.tries_failures,
            counts_money: self.counts_money || later.counts_money,
            stresses: self.stresses,
        }
    }

    /// The stresses that cases put on a climate.
    pub fn stresses(&self, climate: usize) -> Vec<Stress> {
        let of_climate = self.stresses.iter().filter(|(of, _)| *of == climate);
        of_climate.map(|(_, stress)| *stress).collect()
    }

    /// Follows when climates get new numbers: `order` holds the old ones.
    pub(crate) fn renumber(&mut self, order: &[usize]) {
        for (climate, _) in &mut self.stresses {
            *climate = order
                .iter()
                .position(|old| old == climate)
                .unwrap_or(*climate);
        }
    }

    /// True if how wet the inner film is decides on what the study is about: an infrared film, or the
    /// choice between covers.
    pub fn wet_film_decides(&self) -> bool {
        self.infrared_film || self.covers_differ
    }

    fn of(case: &Case) -> Self {
        let sections = &case.house.sections;
        let names = |section: &Section| fixed(section).map(|layer| layer.name.clone()).collect();
        let is_infrared = |layer: &Layer| INFRARED_FILM.contains(&layer.longwave_transmittance);
        Self {
            first_covers: Some(sections.iter().map(names).collect()),
            covers_differ: false,
            infrared_film: sections.iter().flat_map(fixed).any(is_infrared),
            house_air_in_gaps: sections
                .iter()
                .any(|section| section.spaces.iter().any(takes_house_air)),
            events: events_of_the_year(case),
            tries_failures: case.outages.is_some(),
            counts_money: case.money.is_some(),
            stresses: (!case.stress.is_none())
                .then_some((case.climate, case.stress))
                .into_iter()
                .collect(),
        }
    }
}

fn takes_house_air(space: &Space) -> bool {
    matches!(
        space,
        Space::Inflated {
            inside_air: true,
            ..
        }
    )
}

fn events_of_the_year(case: &Case) -> Option<YearEvents> {
    let events = &case.events.events;
    let first = events
        .iter()
        .min_by(|a, b| a.start_h.total_cmp(&b.start_h))?;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "events begin within the year"
    )]
    let hour = first.start_h as usize;
    Some(YearEvents {
        what: what_fails(&first.failure).into(),
        hour,
        length_h: first.length_h,
        more: events.len() - 1,
    })
}

fn what_fails(failure: &Failure) -> &'static str {
    match failure {
        Failure::Power => "the power",
        Failure::Blower => "the blower",
        Failure::Heater(_) => "a heater",
        Failure::Door(_) => "a door left open",
        Failure::Tear(_) => "a torn film",
        Failure::Screens { .. } => "a stuck screen",
        Failure::Slack(_) => "slack gaps",
    }
}

/// The layers of a section without the movable screen.
fn fixed(section: &Section) -> impl Iterator<Item = &Layer> {
    let screens = usize::from(section.screen.is_some());
    section.layers.iter().skip(screens)
}
