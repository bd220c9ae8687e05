//! Stress on the weather of a case: the years it makes, its words, and what a study uses of it.
//!
//! A study holds every weather file once. A case names its file and its [`Stress`], and the year
//! under that stress is made when the case is run. Of each file no more than a few such years are
//! kept, so that memory does not grow with the number of stresses.

mod uses;

use std::sync::{Arc, Mutex, PoisonError};

use overwinter_units::{Kind, System, print};
use overwinter_weather::{Stress, Unstressed, WeatherError, Year};

use crate::recent::Recent;

pub use uses::{StressUse, stress_uses};

/// Years under stress that are kept of a file: with the file's own they take five times its memory.
const YEARS_KEPT: usize = 4;

/// A year and, made when asked for, the same under stress; copies share what was made.
#[derive(Clone, Debug)]
pub struct StressedYears {
    shared: Arc<Shared>,
}

#[derive(Debug)]
struct Shared {
    unstressed: Unstressed,
    recent: Mutex<Recent<Stress, Arc<Year>>>,
}

impl StressedYears {
    /// Those of a year.
    pub fn of(year: Arc<Year>) -> Self {
        Self {
            shared: Arc::new(Shared {
                unstressed: Unstressed::new(year),
                recent: Mutex::new(Recent::new(YEARS_KEPT)),
            }),
        }
    }

    /// The year under a stress, the same from whatever thread and in whatever order it is asked for.
    ///
    /// # Errors
    /// As [`Stress::apply`].
    pub fn under(&self, stress: &Stress) -> Result<Arc<Year>, WeatherError> {
        if stress.is_none() {
            return Ok(Arc::clone(self.shared.unstressed.year()));
        }
        // A thread that stopped in between has left the list whole.
        let recent = || {
            self.shared
                .recent
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
        };
        if let Some(year) = recent().get(stress) {
            return Ok(year);
        }
        // Made without holding the list, so that other threads go on.
        let year = self.shared.unstressed.under(stress)?;
        recent().put(*stress, Arc::clone(&year));
        Ok(year)
    }
}

/// A stress in words, such as "2 K (3.6 degF) colder, coldest hour -34.4 degC (-30 degF), nights
/// 50 % of the way to a clear sky"; `None` if there is none.
pub fn stress_words(stress: &Stress) -> Option<String> {
    if stress.is_none() {
        return None;
    }
    let shift = (stress.warmer_k != 0.0).then(|| {
        let side = if stress.warmer_k > 0.0 {
            "warmer"
        } else {
            "colder"
        };
        let by = both(stress.warmer_k.abs(), Kind::TemperatureDifference);
        format!("{by} {side}")
    });
    let coldest = stress.coldest_k.map(|coldest_k| {
        let coldest = both(coldest_k, Kind::Temperature);
        format!("coldest hour {coldest}")
    });
    let nights = (stress.cloudier_nights != 0.0).then(|| {
        let sky = if stress.cloudier_nights > 0.0 {
            "an overcast"
        } else {
            "a clear"
        };
        let share = print(stress.cloudier_nights.abs(), Kind::Share, System::Si);
        format!("nights {share} of the way to {sky} sky")
    });
    let all: Vec<String> = [shift, coldest, nights].into_iter().flatten().collect();
    Some(all.join(", "))
}

/// Why a stress cannot be put on a year, with the numbers in both systems of units.
pub(crate) fn refusal(error: &WeatherError, stress: &Stress) -> String {
    match error {
        WeatherError::NotColder {
            coldest_k,
            lowest_k,
        } => {
            let [stated, own] = [coldest_k, lowest_k].map(|k| both(*k, Kind::Temperature));
            let shift = Stress {
                coldest_k: None,
                cloudier_nights: 0.0,
                ..*stress
            };
            let as_it_is = stress_words(&shift).map_or_else(
                || "as it is".to_owned(),
                |shift| format!("when it is {shift}"),
            );
            format!(
                "{stated} is not below the lowest air of the year {as_it_is}, {own}; give a lower \
                 temperature, or leave `coldest` out"
            )
        }
        other => other.to_string(),
    }
}

/// A value in SI and US units.
fn both(value: f64, kind: Kind) -> String {
    let [si, us] = [System::Si, System::Us].map(|system| print(value, kind, system));
    format!("{si} ({us})")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::handmade;

    fn colder(by_k: f64) -> Stress {
        Stress {
            warmer_k: -by_k,
            ..Stress::NONE
        }
    }

    #[test]
    fn a_year_is_made_once_while_it_is_in_use() {
        let base = Arc::new(handmade::year());
        let years = StressedYears::of(Arc::clone(&base));
        let none = years.under(&Stress::NONE).expect("itself");
        assert!(Arc::ptr_eq(&none, &base));
        let first = years.under(&colder(1.0)).expect("in range");
        let again = years.clone().under(&colder(1.0)).expect("in range");
        assert!(Arc::ptr_eq(&first, &again));
        assert_eq!(*first, colder(1.0).apply(&base).expect("in range"));
    }

    #[test]
    fn thousands_of_stresses_do_not_pile_up() {
        let years = StressedYears::of(Arc::new(handmade::year()));
        let made: Vec<_> = (1..=50)
            .map(|number| {
                let year = years.under(&colder(0.1 * f64::from(number)));
                Arc::downgrade(&year.expect("in range"))
            })
            .collect();
        let alive = made.iter().filter(|year| year.strong_count() > 0).count();
        assert_eq!(alive, YEARS_KEPT);
    }

    #[test]
    fn words_say_what_is_asked() {
        let stress = Stress {
            warmer_k: -2.0,
            coldest_k: Some(238.705_555),
            cloudier_nights: -0.5,
        };
        assert_eq!(
            stress_words(&stress).as_deref(),
            Some(
                "2 K (3.6 degF) colder, coldest hour -34.4 degC (-30 degF), \
                 nights 50 % of the way to a clear sky"
            )
        );
        assert_eq!(stress_words(&Stress::NONE), None);
    }
}
