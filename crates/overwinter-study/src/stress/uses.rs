//! What stress a study puts on one of its weather files, in a few lines for any number of cases.

use std::borrow::Cow;

use overwinter_units::{Kind, System, print};
use overwinter_weather::Stress;
use serde::{Deserialize, Serialize};

/// A transform that some cases put on a weather file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StressUse {
    /// Key in the scenario.
    pub key: Cow<'static, str>,
    /// What it does.
    pub transform: Cow<'static, str>,
    /// Least value in use.
    pub least: String,
    /// Greatest value in use.
    pub greatest: String,
}

const WARMER: &str = "every air temperature moved by this difference; relative humidity kept, longwave \
                      from the sky moved as the clear sky's; sun, wind, pressure and snow as in the file";
const COLDEST: &str = "the coldest spell of the year, the days around its lowest hour that are below the \
                       mean of 30 days, lowered until that hour is at this temperature; relative humidity \
                       kept, longwave from the sky moved as the clear sky's; all else as in the file";
const NIGHTS: &str = "longwave from the sky and cloud at night moved by this share of the way to an \
                      overcast sky, below zero to a clear one; days as in the file";

/// The transforms that the stresses of one file's cases use, in the order in which they are done.
pub fn stress_uses<'a>(stresses: impl Iterator<Item = &'a Stress> + Clone) -> Vec<StressUse> {
    let uses = [
        transform(
            ("warmer", WARMER),
            Kind::TemperatureDifference,
            stresses
                .clone()
                .map(|stress| stress.warmer_k)
                .filter(is_asked),
        ),
        transform(
            ("coldest", COLDEST),
            Kind::Temperature,
            stresses.clone().filter_map(|stress| stress.coldest_k),
        ),
        transform(
            ("cloudier_nights", NIGHTS),
            Kind::Share,
            stresses
                .map(|stress| stress.cloudier_nights)
                .filter(is_asked),
        ),
    ];
    uses.into_iter().flatten().collect()
}

fn is_asked(value: &f64) -> bool {
    value.abs() > 0.0
}

fn transform(
    (key, transform): (&'static str, &'static str),
    kind: Kind,
    values: impl Iterator<Item = f64>,
) -> Option<StressUse> {
    let spans = values.map(|value| (value, value));
    let (least, greatest) = spans.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
    let written = |value| print(value, kind, System::Si);
    Some(StressUse {
        key: key.into(),
        transform: transform.into(),
        least: written(least),
        greatest: written(greatest),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_few_lines_stand_for_any_number_of_cases() {
        let cases: Vec<Stress> = (0..1000)
            .map(|number| Stress {
                warmer_k: f64::from(number) / 100.0 - 5.0,
                coldest_k: (number < 10).then_some(240.0),
                cloudier_nights: 0.0,
            })
            .collect();
        let uses = stress_uses(cases.iter());
        let told: Vec<_> = uses
            .iter()
            .map(|one| (&*one.key, one.least.as_str(), one.greatest.as_str()))
            .collect();
        assert_eq!(told[0], ("warmer", "-5 K", "4.99 K"));
        // -33.15 degC to three figures.
        assert!(
            ["-33.1 degC", "-33.2 degC"].contains(&told[1].1),
            "{told:?}"
        );
        assert_eq!(
            (told.len(), told[1].0, told[1].1),
            (2, "coldest", told[1].2)
        );
        assert!(stress_uses([Stress::NONE].iter()).is_empty());
    }
}
