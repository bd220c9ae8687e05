//! A failing night: its course, the numbers that matter, what to do.

mod actions;
mod chart;

use overwinter_study::case::Load;
use overwinter_study::outages::night::FailingNight;
use overwinter_study::tables::calendar::Moment;
use overwinter_study::tables::night::night_name;
use overwinter_study::tables::outages::{HeatersGoOn, OneNight};
use overwinter_units::System;

use super::figures;
use super::layout::{item, labelled, title};

const FREEZING_K: f64 = 273.15;

/// What is shown of a night.
pub(crate) struct NightScreen<'a> {
    /// Title of the scenario.
    pub(crate) title: &'a str,
    /// Which of its cases, where there are several.
    pub(crate) case: Option<String>,
    /// The night.
    pub(crate) night: &'a FailingNight,
    /// What is published of how long the grid stays out there, in a sentence.
    pub(crate) mean_interruption: Option<String>,
    /// Units that stand first.
    pub(crate) system: System,
}

impl NightScreen<'_> {
    /// The text, at most 100 columns wide.
    pub(crate) fn text(&self) -> String {
        let chart = chart::draw(self.night, self.system);
        let numbers = self.numbers();
        let head = self.head();
        let actions = actions::text(self.night, &self.loads());
        format!("{head}\n{chart}\n{numbers}\n{actions}\n{}", self.cautions())
    }

    fn head(&self) -> String {
        let night = self.night;
        let case = self
            .case
            .as_ref()
            .map_or(String::new(), |case| format!(", {case}"));
        let start = Moment::of_hour(night.curve.start_hour);
        let evening = figures::date(night.curve.start_hour);
        let what = format!(
            "Fails: {} - at {:02}:00 for {} h, {}, {evening}",
            night.curve.failure,
            start.hour,
            figures::figures(night.length_h),
            night_name(night.curve.night),
        );
        let outdoors = &night.outdoors;
        let outdoors = format!(
            "down to {}, wind {}, sky {} colder",
            figures::temperature(outdoors.lowest_k, self.system),
            figures::wind(outdoors.wind_m_s, self.system),
            figures::difference(outdoors.sky_below_air_k.max(0.0), self.system),
        );
        let first = title(&format!("{}{case}", self.title));
        format!(
            "{first}\n{}\n{}",
            title(&what),
            labelled("Outdoors", &outdoors)
        )
    }

    fn numbers(&self) -> String {
        let FailingNight {
            night, judged_by, ..
        } = self.night;
        let temperature = |temp_k| figures::temperature(temp_k, self.system);
        let mut text = labelled(
            "Alarm",
            &format!(
                "air at {} {}",
                temperature(judged_by.alarm_k),
                after(night.alarm_h)
            ),
        );
        text += &labelled(
            "Freezing",
            &format!(
                "air at {} {}",
                temperature(FREEZING_K),
                after(night.freezing_h)
            ),
        );
        text += &labelled("Crop", &self.crop());
        text += &labelled("Lowest leaf", &self.lowest_leaf());
        if let Some(plateau_k) = night.plateau_k {
            let slowed = if self.is_heated_after_two_hours() || !self.fell_at_first() {
                ""
            } else {
                "; the fast fall is over, from here on the soil slows it"
            };
            let text_of = format!("air at {}{slowed}", temperature(plateau_k));
            text += &labelled("After two hours", &text_of);
        }
        text += &labelled("Alarm set point", &self.alarm_set_point());
        text += &self.heaters();
        text += &self.with_generator();
        text + &self.blower_alone()
    }

    /// True if most of the fall of two hours was over after the first.
    fn fell_at_first(&self) -> bool {
        let air_k = |after_h: f64| {
            let mut points = self.night.curve.points.iter();
            points
                .find(|point| point.after_h > after_h - 1e-6)
                .map(|point| point.air_k)
        };
        let start_k = self.night.at_start_k[0];
        let fall_k = air_k(1.0)
            .zip(air_k(2.0))
            .map(|(one_k, two_k)| [start_k - one_k, start_k - two_k]);
        fall_k.is_some_and(|[in_one_k, in_two_k]| in_two_k > 1.0 && in_one_k > 0.6 * in_two_k)
    }

    fn is_heated_after_two_hours(&self) -> bool {
        let mut points = self.night.curve.points.iter();
        let then = points.find(|point| point.after_h > 2.0 - 1e-6);
        then.is_some_and(|point| point.heat_w > 1.0)
    }

    fn crop(&self) -> String {
        let FailingNight {
            night,
            judged_by,
            lost_h,
            ..
        } = self.night;
        let end = match (lost_h, night.limit_h) {
            (Some(lost_h), _) => format!("; lost after {}", duration(*lost_h)),
            (None, Some(_)) => "; not lost: it does not stay there long enough".to_owned(),
            (None, None) => String::new(),
        };
        format!(
            "{}: leaf at {} {}{end}",
            judged_by.limit_name,
            figures::temperature(judged_by.limit_k, self.system),
            after(night.limit_h),
        )
    }

    fn lowest_leaf(&self) -> String {
        let night = &self.night.night;
        let number = |temp_k| figures::temperature_number(temp_k, self.system);
        let ends = night.leaf_range_k.map(|ends_k| ends_k.map(number));
        let range = ends.filter(|[low, high]| low != high);
        let range = range.map_or_else(String::new, |[low, high]| {
            format!(", from {low} to {high} by how gaps lose their air")
        });
        let whose = if self.night.has_crop {
            ""
        } else {
            " (of a plant that would stand there: this house has no crop)"
        };
        format!(
            "{}{range}; lowest air {}{whose}",
            figures::temperature(night.leaf_k, self.system),
            figures::temperature(night.air_k, self.system),
        )
    }

    fn alarm_set_point(&self) -> String {
        let FailingNight {
            night,
            judged_by,
            warning_k,
            ..
        } = self.night;
        let travel = duration(judged_by.travel_h);
        match (night.limit_h, warning_k) {
            (None, _) => {
                "not decided by this night: the leaf stays above the limit of the crop".to_owned()
            }
            (Some(_), Some(warning_k)) => format!(
                "at least {} in the air, so that the {travel} that help takes are left{}",
                figures::temperature(*warning_k, self.system),
                self.highest_alarm(),
            ),
            (Some(limit_h), None) if limit_h >= judged_by.travel_h => format!(
                "none: set so high that it leaves the {travel} that help takes, it rings in this night \
                 even if nothing fails"
            ),
            (Some(_), None) => format!(
                "none leaves the {travel} that help takes: a heat source that starts by itself, or a \
                 cover on the crop beforehand, has to bridge it"
            ),
        }
    }

    /// How high an alarm may be set: nearly to the air of the night if nothing fails.
    fn highest_alarm(&self) -> String {
        let quiet = self.night.quiet_air_k.map(|quiet_k| {
            format!(
                "; set it higher, up to short of the {} that this night has if nothing fails",
                figures::temperature(quiet_k, self.system)
            )
        });
        quiet.unwrap_or_default()
    }

    fn heaters(&self) -> String {
        let hold = figures::temperature(self.night.judged_by.emergency_hold_k, self.system);
        let night = &self.night.night;
        if let Some(go_on) = night.heaters {
            return labelled("Heaters", &heaters_go_on(go_on, night, self.system));
        }
        let Some(standby_w) = night.standby_w else {
            return String::new();
        };
        let output = figures::output(standby_w, self.system);
        let text = if standby_w < 1.0 {
            format!("none needed to hold {hold}")
        } else {
            format!("{output} in need of no electricity would have held {hold} (output, not input)")
        };
        labelled("Standby heater", &text)
    }

    fn with_generator(&self) -> String {
        let Some(night) = &self.night.with_generator else {
            return String::new();
        };
        let lost = if night.is_lost { "lost" } else { "not lost" };
        let text = format!(
            "lowest leaf {}, lowest air {}; the crop is {lost}",
            figures::temperature(night.leaf_k, self.system),
            figures::temperature(night.air_k, self.system),
        );
        labelled("With the generator", &text)
    }

    fn blower_alone(&self) -> String {
        let Some(alone) = &self.night.blower_alone else {
            return String::new();
        };
        let Some(heaters) = alone.heaters.filter(|_| self.night.night.heaters.is_none()) else {
            return String::new();
        };
        let text = format!(
            "the heaters {}; lowest leaf {}",
            heaters_go_on(heaters, alone, self.system),
            figures::temperature(alone.leaf_k, self.system)
        );
        labelled("Blower alone", &text)
    }

    fn cautions(&self) -> String {
        let by_power = self.night.curve.failure.starts_with("power");
        let mean = self.mean_interruption.as_ref().filter(|_| by_power);
        let how_long = mean.map_or_else(String::new, |mean| {
            item(&format!(
                "{mean}. Ends of rural lines wait longest; it says nothing of the coldest night."
            ))
        });
        "Bear in mind\n".to_owned()
            + &how_long
            + &item(
                "An estimate, no promise: sensor, wind, sky and leaks change it, and how gaps lose their \
                 air was never measured. Never rely on it for the safety of people.",
            )
            + &item(
                "Burners and engines kill by carbon monoxide: no generator, grill or unvented flame in \
                 the house. Wiring, gas and transfer switch are for licensed trades. Stay out from \
                 under a snow load.",
            )
    }

    /// The generator's load in words.
    fn loads(&self) -> String {
        let carried: Vec<&Load> = self
            .night
            .loads
            .iter()
            .filter(|load| load.carried)
            .collect();
        let carried = if carried.is_empty() {
            self.night.loads.iter().collect()
        } else {
            carried
        };
        if carried.is_empty() {
            return "add up the watts running and starting of what it is to carry".to_owned();
        }
        let names: Vec<&str> = carried.iter().map(|load| load.name.as_str()).collect();
        let running_w: f64 = carried.iter().map(|load| load.running_w).sum();
        let starting_w = carried
            .iter()
            .map(|load| running_w + (load.starting_w - load.running_w).max(0.0))
            .fold(running_w, f64::max);
        let has = self.night.generator_w.map_or(String::new(), |carries_w| {
            format!(", yours carries {} W", figures::figures(carries_w))
        });
        format!(
            "{} ({}) take {} W running, and {} W if the largest starts while the others run{has}",
            if carried.len() == 1 {
                "its load"
            } else {
                "its loads"
            },
            names.join(", "),
            figures::figures(running_w),
            figures::figures(starting_w),
        )
    }
}

/// Whether heaters that go on hold the house, and what it costs.
pub(super) fn heaters_go_on(heaters: HeatersGoOn, night: &OneNight, system: System) -> String {
    let extra = figures::output(heaters.extra_w.max(0.0), system);
    let air = figures::temperature(night.air_k, system);
    if heaters.missed_k < overwinter_study::run::HELD_WITHIN_K {
        format!("hold the house (lowest air {air}) with {extra} more on average")
    } else {
        let missed = figures::difference(heaters.missed_k, system);
        format!("miss what they hold by {missed} (lowest air {air}), with {extra} more on average")
    }
}

/// When a mark is reached, in words.
pub(super) fn after(time_h: Option<f64>) -> String {
    match time_h {
        Some(time_h) if time_h <= 0.0 => "from the start".to_owned(),
        Some(time_h) => format!("after {}", duration(time_h)),
        None => "not reached".to_owned(),
    }
}

/// Minutes, from two hours on hours.
pub(super) fn duration(time_h: f64) -> String {
    if time_h < 2.0 {
        let minutes = (time_h * 60.0).round().max(1.0);
        format!("{minutes:.0} min")
    } else {
        format!("{time_h:.1} h")
    }
}
