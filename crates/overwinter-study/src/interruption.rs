//! Published mean lengths of interruptions of the grid, to be shown beside the lengths tried.
//!
//! A mean over the customers of a state says where an ordinary interruption stands among the lengths;
//! it says nothing of how often the grid fails on a cold night, and no probability comes from it.

use overwinter_weather::Place;

use crate::catalogue::{Entry, catalogue};

/// Mean length of the interruptions of a state of the United States.
#[derive(Clone, Debug, PartialEq)]
pub struct MeanInterruption {
    /// The state.
    pub state: String,
    /// All events, h.
    pub all_events_h: f64,
    /// Without major events such as storms, h, where it is known.
    pub without_major_events_h: Option<f64>,
    /// Where both come from.
    pub source: String,
}

/// What is published for the state a place lies in; `None` outside the states of the catalogue.
///
/// The state is the first part of [`Place::region`] before a comma, as two letters or in full. A
/// second part has to be the United States, and the place has to lie in North America, since two
/// letters mean other regions elsewhere.
pub fn mean_interruption(place: &Place) -> Option<MeanInterruption> {
    const UNITED_STATES: [&str; 4] = ["USA", "US", "United States", "United States of America"];
    let mut parts = place.region.split(',').map(str::trim);
    let state = parts.next()?;
    let is_in_country = parts.all(|part| {
        UNITED_STATES
            .iter()
            .any(|name| name.eq_ignore_ascii_case(part))
    });
    let is_near = (24.0..72.0).contains(&place.latitude_deg)
        && (-170.0..-65.0).contains(&place.longitude_deg);
    if !(is_in_country && is_near) {
        return None;
    }
    let mut entries = catalogue().list("interruption").iter();
    entries.find(|entry| is_named(entry, state)).and_then(read)
}

/// The lengths next to a mean: the longest that is no longer, and the shortest that is no shorter.
///
/// A mean on a length has it on both sides; beyond the lengths there is none on that side.
///
/// ```
/// use overwinter_study::interruption::rung_of;
/// let lengths_h = [2.0, 4.0, 8.0, 24.0];
/// assert_eq!(rung_of(4.1, &lengths_h), (Some(4.0), Some(8.0)));
/// assert_eq!(rung_of(1.5, &lengths_h), (None, Some(2.0)));
/// assert_eq!(rung_of(8.0, &lengths_h), (Some(8.0), Some(8.0)));
/// assert_eq!(rung_of(31.0, &lengths_h), (Some(24.0), None));
/// ```
pub fn rung_of(mean_h: f64, lengths_h: &[f64]) -> (Option<f64>, Option<f64>) {
    let lengths = || lengths_h.iter().copied();
    let below_h = lengths().filter(|length_h| *length_h <= mean_h);
    let above_h = lengths().filter(|length_h| *length_h >= mean_h);
    (below_h.reduce(f64::max), above_h.reduce(f64::min))
}

impl MeanInterruption {
    /// One sentence that puts the mean beside the lengths tried.
    ///
    /// ```
    /// use overwinter_study::interruption::MeanInterruption;
    /// let mean = MeanInterruption {
    ///     state: "Illinois".to_owned(),
    ///     all_events_h: 249.2 / 60.0,
    ///     without_major_events_h: Some(92.9 / 60.0),
    ///     source: String::new(),
    /// };
    /// assert_eq!(
    ///     mean.sentence(&[2.0, 4.0, 8.0]),
    ///     "A published mean interruption in Illinois lasted 4 h 9 min, 1 h 33 min without major \
    ///      events: between the lengths of 4 h and 8 h tried here"
    /// );
    /// ```
    pub fn sentence(&self, lengths_h: &[f64]) -> String {
        let ordinary = self
            .without_major_events_h
            .map_or_else(String::new, |ordinary_h| {
                format!(", {} without major events", hours_and_minutes(ordinary_h))
            });
        let rung = match rung_of(self.all_events_h, lengths_h) {
            (Some(below_h), Some(above_h)) if below_h < above_h => {
                format!(": between the lengths of {below_h} h and {above_h} h tried here")
            }
            (Some(on_h), Some(_)) => format!(": the length of {on_h} h tried here"),
            (Some(below_h), None) => format!(": longer than the {below_h} h tried here"),
            (None, Some(above_h)) => format!(": shorter than the {above_h} h tried here"),
            (None, None) => String::new(),
        };
        let mean = hours_and_minutes(self.all_events_h);
        let state = &self.state;
        format!("A published mean interruption in {state} lasted {mean}{ordinary}{rung}")
    }
}

fn is_named(entry: &Entry, state: &str) -> bool {
    entry.name.eq_ignore_ascii_case(state) || entry.word("code").eq_ignore_ascii_case(state)
}

fn read(entry: &Entry) -> Option<MeanInterruption> {
    const HOUR_S: f64 = 3600.0;
    let all_events = entry.figure("all_events")?;
    let without = entry.figure("without_major_events");
    Some(MeanInterruption {
        state: entry.name.clone(),
        all_events_h: all_events.value / HOUR_S,
        without_major_events_h: without.map(|figure| figure.value / HOUR_S),
        source: all_events.source.clone(),
    })
}

fn hours_and_minutes(length_h: f64) -> String {
    let minutes = (length_h * 60.0).round();
    let (hours, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
    match (hours > 0.0, rest > 0.0) {
        (true, true) => format!("{hours} h {rest} min"),
        (true, false) => format!("{hours} h"),
        _ => format!("{rest} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(region: &str, latitude_deg: f64, longitude_deg: f64) -> Place {
        Place {
            name: "Hill Farm".to_owned(),
            region: region.to_owned(),
            latitude_deg,
            longitude_deg,
            time_zone_h: 0.0,
            elevation_m: 200.0,
            format: String::new(),
        }
    }

    /// U.S. Energy Information Administration, Electric Power Annual, Table 11.3, 2023, minutes for
    /// each interruption: Illinois 249.2 and 92.9, Maine 562.2 and 125, Ohio 292.5.
    #[test]
    fn states_are_found_by_code_and_by_name() {
        for (region, all_min, ordinary_min) in [
            ("IL, USA", 249.2, Some(92.9)),
            ("il", 249.2, Some(92.9)),
            ("Illinois", 249.2, Some(92.9)),
            ("Maine, United States", 562.2, Some(125.0)),
            ("OH", 292.5, None),
        ] {
            let mean = mean_interruption(&place(region, 42.0, -80.0)).expect(region);
            assert!(
                (mean.all_events_h * 60.0 - all_min).abs() < 1e-9,
                "{region}"
            );
            let found_min = mean.without_major_events_h.map(|hours| hours * 60.0);
            let error_min = found_min
                .zip(ordinary_min)
                .map(|(found, printed)| found - printed);
            assert_eq!(found_min.is_some(), ordinary_min.is_some(), "{region}");
            assert!(
                error_min.is_none_or(|error_min| error_min.abs() < 1e-9),
                "{region}"
            );
            assert!(mean.source.contains("Table 11.3"));
        }
    }

    #[test]
    fn other_regions_have_none() {
        for (region, latitude_deg, longitude_deg) in [
            ("", 42.0, -80.0),
            ("CO, USA", 39.7, -105.2),
            ("IN", 28.6, 77.2),
            ("ME, MNE", 42.4, -80.0),
            ("Germany", 52.0, 13.0),
            (", USA", 42.0, -80.0),
        ] {
            let found = mean_interruption(&place(region, latitude_deg, longitude_deg));
            assert_eq!(found, None, "{region}");
        }
    }

    #[test]
    fn lengths_are_worded_in_hours_and_minutes() {
        for (length_h, words) in [
            (0.5, "30 min"),
            (2.0, "2 h"),
            (1.999_9, "2 h"),
            (9.37, "9 h 22 min"),
        ] {
            assert_eq!(hours_and_minutes(length_h), words);
        }
    }

    #[test]
    fn a_mean_outside_the_lengths_is_said_so() {
        let mean = MeanInterruption {
            state: "Ohio".to_owned(),
            all_events_h: 5.0,
            without_major_events_h: None,
            source: String::new(),
        };
        let lasted = "A published mean interruption in Ohio lasted 5 h";
        for (lengths_h, rest) in [
            (&[2.0, 4.0][..], ": longer than the 4 h tried here"),
            (&[8.0, 24.0], ": shorter than the 8 h tried here"),
            (&[2.0, 5.0, 8.0], ": the length of 5 h tried here"),
            (&[], ""),
        ] {
            assert_eq!(mean.sentence(lengths_h), format!("{lasted}{rest}"));
        }
    }
}
