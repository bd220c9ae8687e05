//! Gaps that lose their air in a season: what a dead blower and a torn film do to the house.
#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

use overwinter_engine::branch::Saved;
use overwinter_engine::failure::{Failure, Tear, TornFilm};
use overwinter_engine::house::House;
use overwinter_engine::inflated::Severity;
use overwinter_engine::outage::{CurvePoint, FailingNow, curve};
use overwinter_engine::season::{RUN_UP_H, STEPS_PER_HOUR, Season};
use overwinter_engine::sunlight::{Sunlight, sunlight};
use overwinter_tests::{gaps, houses, years};
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

/// Dusk of the coldest night of Chicago's year, 26 January.
const DUSK: usize = 25 * 24 + 17;

struct Case {
    house: House,
    year: Year,
    sun: Sunlight,
}

impl Case {
    fn new(house: House) -> Self {
        let year = years::shipped(years::COLD).expect("a shipped year reads");
        let sun = sunlight(&house, &year);
        Self { house, year, sun }
    }

    fn in_a_calm(mut self, wind_m_s: f64) -> Self {
        self.year
            .wind_m_s
            .iter_mut()
            .for_each(|wind| *wind = wind_m_s);
        self
    }

    fn at_dusk<T>(&self, then: impl FnOnce(&mut Season<'_, f64>, &Saved<f64>) -> T) -> T {
        let (houses, suns, years) = ([&self.house], [&self.sun], [&self.year]);
        let season = Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR);
        let mut season = season.expect("the house fits");
        season.run_up(HOURS - RUN_UP_H, HOURS).expect("the run-up");
        season.run_up(0, DUSK).expect("the winter");
        let saved = season.save(DUSK);
        then(&mut season, &saved)
    }

    fn curve(&self, failures: &[Failure], length_h: f64, severity: Severity) -> Vec<CurvePoint> {
        let failing = FailingNow {
            failures: failures.to_vec(),
            generator: None,
        };
        self.at_dusk(|season, saved| {
            season.set_severity(severity);
            curve(season, saved, &failing, length_h, 6.0).expect("the curve")
        })
    }
}

fn fed_pair(flap: bool) -> House {
    gaps::fed(houses::inflated_pair(), flap, false).expect("sizes that exist")
}

#[test]
fn explore() {
    for wind in [0.3, 2.0, 5.0, 10.0] {
        let case = Case::new(fed_pair(false)).in_a_calm(wind);
        for severity in Severity::ALL {
            let points = case.curve(&[Failure::Blower], 14.0, severity);
            let shares: Vec<String> = points
                .iter()
                .step_by(12)
                .map(|p| format!("{:.2}/{:.0}", p.touching_share, p.heat_w / 1e3))
                .collect();
            println!("{wind} {severity:?} {}", shares.join(" "));
        }
    }
    let year = Case::new(fed_pair(false));
    let points = year.curve(&[Failure::Blower], 14.0, Severity::Likely);
    let shares: Vec<String> = points
        .iter()
        .step_by(12)
        .map(|p| format!("{:.2}/{:.0}", p.touching_share, p.heat_w / 1e3))
        .collect();
    println!("year {}", shares.join(" "));
    for film in [TornFilm::Outer, TornFilm::Inner, TornFilm::Both] {
        let tear = Failure::Tear(Tear {
            film,
            area_m2: 0.05,
            gap: 0,
        });
        let points = year.curve(&[tear], 14.0, Severity::Likely);
        let shares: Vec<String> = points
            .iter()
            .step_by(12)
            .map(|p| format!("{:.2}/{:.0}", p.touching_share, p.heat_w / 1e3))
            .collect();
        println!("{film:?} {}", shares.join(" "));
    }
}

#[test]
fn timing() {
    use overwinter_engine::outage::{Marks, Question, outage, saved_states};
    let case = Case::new(fed_pair(false));
    let (houses, suns, years) = ([&case.house], [&case.sun], [&case.year]);
    let mut season = Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR).unwrap();
    let starts: Vec<usize> = (0..90)
        .flat_map(|day| [day * 24 + 17, day * 24 + 24, day * 24 + 29])
        .collect();
    let saved = saved_states(&mut season, &starts).unwrap();
    for failure in [Failure::Heater(0), Failure::Power, Failure::Blower] {
        let question = Question {
            failing: FailingNow {
                failures: vec![failure],
                generator: None,
            },
            lengths_h: vec![2.0, 4.0, 8.0, 24.0, 72.0, 144.0],
            marks: Marks {
                alarm_k: 276.15,
                limit_k: 271.15,
                lag_h: 0.25,
                travel_h: 0.5,
            },
        };
        let begin = std::time::Instant::now();
        let mut sum = 0.0;
        for start in &saved {
            sum += outage(&mut season, start, &question).unwrap().rungs[2].lowest_leaf_k;
        }
        println!(
            "{failure:?}: {} branches {:?} {sum}",
            saved.len(),
            begin.elapsed()
        );
    }
}
