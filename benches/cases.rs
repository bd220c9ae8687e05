//! A case and year alone, in lanes, and by a general stiff solver, in one run: time, ratios, errors.
//!
//! The solver follows four spells of ten days from the states in which the steps come to them and
//! starts anew at every half hour, where the sun has its kinks. Its time is that of 365 days at the
//! mean of the spells.
#![allow(clippy::print_stdout, reason = "the table is what this is for")]

#[allow(dead_code, reason = "how often the solver asks is not shown here")]
#[path = "../tests/verification/oracle/reference.rs"]
mod reference;

use std::hint::black_box;
use std::time::Instant;

use overwinter_engine::events::EventPlan;
use overwinter_engine::house::House;
use overwinter_engine::model::AIR;
use overwinter_engine::season::{
    LANES, RUN_UP_H, STEPS_PER_HOUR, Season, SeasonTask, run_season, run_seasons_with,
};
use overwinter_engine::step::Instructions;
use overwinter_engine::sunlight::{Sunlight, sunlight};
use overwinter_tests::{houses, years};
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;
use reference::{Course, follow};

/// First days of the spells: winter, spring, summer, autumn.
const SPELLS_FROM_DAY: [usize; 4] = [12, 100, 200, 290];
const SPELL_DAYS: usize = 10;
const LOOSE: f64 = 1e-3;
const TIGHT: f64 = 1e-8;
/// Times that every way is measured, one after the other.
const REPEATS: usize = 7;
/// Of these, those in which the solver is measured too.
const SOLVER_REPEATS: usize = 2;
/// Names of the ways, in the order of the table; the last is what the others are compared with.
const WAYS: [&str; 5] = [
    "steps, one case",
    "four lanes, any processor",
    "four lanes, this processor",
    "four different houses, this processor",
    "BDF, rtol 1e-3",
];

struct Bench {
    year: Year,
    house: House,
    sun: Sunlight,
    others: [(House, Sunlight); LANES],
    events: EventPlan,
}

impl Bench {
    fn new() -> Self {
        let year = years::shipped(years::COLD).expect("a shipped year reads");
        let lit = |house: House| {
            let sun = sunlight(&house, &year);
            (house, sun)
        };
        let (house, sun) = lit(houses::inflated_pair());
        // Heaters large enough for every year to be stepped once.
        let others = [2.0, 6.0, 10.0, 16.0].map(|hold_c| lit(houses::film_house(2, hold_c, 400e3)));
        Self {
            house,
            sun,
            others,
            events: EventPlan::default(),
            year,
        }
    }

    fn alone_ms(&self) -> f64 {
        ms(|| {
            black_box(run_season(&self.house, &self.sun, &self.year)).expect("the season");
        })
    }

    fn lanes_ms(&self, instructions: Instructions) -> f64 {
        let task = task(&self.house, &self.sun, self);
        self.tasks_ms(&[task; LANES], instructions)
    }

    fn others_ms(&self) -> f64 {
        let tasks = self
            .others
            .each_ref()
            .map(|(house, sun)| task(house, sun, self));
        self.tasks_ms(&tasks, Instructions::detected())
    }

    fn tasks_ms(&self, tasks: &[SeasonTask<'_>; LANES], instructions: Instructions) -> f64 {
        let all_ms = ms(|| {
            let results = black_box(run_seasons_with(tasks, instructions));
            assert!(
                results.iter().all(Result::is_ok),
                "every season is finished"
            );
        });
        all_ms / LANES as f64
    }

    /// The spells by the solver, with the time it took.
    fn solved(&self, tolerance: f64) -> (Vec<Course>, f64) {
        let mut spent_ms = 0.0;
        let courses = SPELLS_FROM_DAY.map(|day| {
            let (houses, suns, years) = ([&self.house], [&self.sun], [&self.year]);
            let mut season =
                Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR).expect("the house fits");
            let from = day * 24;
            season.run_up(HOURS - RUN_UP_H, HOURS).expect("the run-up");
            season.run_up(0, from).expect("the spell is reached");
            let mut course = Course::default();
            spent_ms +=
                ms(|| course = follow(&mut season, from, from + SPELL_DAYS * 24, tolerance));
            course
        });
        let days = (SPELLS_FROM_DAY.len() * SPELL_DAYS) as f64;
        (courses.to_vec(), spent_ms * 365.0 / days)
    }
}

fn task<'a>(house: &'a House, sun: &'a Sunlight, of: &'a Bench) -> SeasonTask<'a> {
    SeasonTask {
        house,
        sun,
        year: &of.year,
        events: &of.events,
    }
}

fn ms(work: impl FnOnce()) -> f64 {
    let start = Instant::now();
    work();
    start.elapsed().as_secs_f64() * 1e3
}

/// Hourly air of the spells, K, and their heat, MJ.
struct Spells {
    air_k: Vec<f64>,
    heat_mj: f64,
}

impl Spells {
    fn of_courses(courses: &[Course]) -> Self {
        let hours = courses.iter().flat_map(|course| &course.unknowns);
        Self {
            air_k: hours.map(|unknowns| unknowns[AIR]).collect(),
            heat_mj: courses.iter().flat_map(|course| &course.heat_mj).sum(),
        }
    }

    fn of_steps(bench: &Bench) -> Self {
        let record = run_season(&bench.house, &bench.sun, &bench.year).expect("the season");
        let hours = || {
            SPELLS_FROM_DAY
                .into_iter()
                .flat_map(|day| day * 24..(day + SPELL_DAYS) * 24)
        };
        Self {
            air_k: hours().map(|hour| record.hours.air_temp_k[hour]).collect(),
            heat_mj: hours()
                .map(|hour| record.hours.heat_w[hour] * 3600e-6)
                .sum(),
        }
    }

    /// RMS of the air, K, and heat, %, against what is true.
    fn errors(&self, truth: &Self) -> [f64; 2] {
        let pairs = self.air_k.iter().zip(&truth.air_k);
        let squares: f64 = pairs.map(|(found, truth)| (found - truth).powi(2)).sum();
        let rms_k = (squares / self.air_k.len() as f64).sqrt();
        [rms_k, (self.heat_mj / truth.heat_mj - 1.0) * 100.0]
    }
}

/// Median, least and most.
fn spread(mut values: Vec<f64>) -> String {
    values.sort_unstable_by(f64::total_cmp);
    match (values.first(), values.get(values.len() / 2), values.last()) {
        (Some(least), Some(median), Some(most)) => {
            format!("{median:9.2} ({least:.2} to {most:.2})")
        }
        _ => String::new(),
    }
}

fn main() {
    // Cargo asks every target for its tests with this argument; there are none.
    if std::env::args().any(|argument| argument == "--test") {
        return;
    }
    let bench = Bench::new();
    let mut times: [Vec<f64>; WAYS.len()] = Default::default();
    let mut loose = Vec::new();
    for repeat in 0..REPEATS {
        times[0].push(bench.alone_ms());
        times[1].push(bench.lanes_ms(Instructions::baseline()));
        times[2].push(bench.lanes_ms(Instructions::detected()));
        times[3].push(bench.others_ms());
        if repeat < SOLVER_REPEATS {
            let (courses, spent_ms) = bench.solved(LOOSE);
            times[4].push(spent_ms);
            loose = courses;
        }
    }
    let truth = Spells::of_courses(&bench.solved(TIGHT).0);
    let steps = Spells::of_steps(&bench).errors(&truth);
    let solver = Spells::of_courses(&loose).errors(&truth);
    print_table(&times, [steps, steps, steps, [f64::NAN; 2], solver]);
}

fn print_table(times: &[Vec<f64>; WAYS.len()], errors: [[f64; 2]; WAYS.len()]) {
    println!("an inflated pair in Chicago; median (least to most) of {REPEATS} repeats");
    println!(
        "{:38} {:>28} {:>28} {:>28}   air K RMS   heat %",
        "", "ms a case and year", "times faster than one case", "than BDF"
    );
    for (way, (name, of_way)) in WAYS.iter().zip(times).enumerate() {
        let against = |other: &[f64]| {
            let pairs = of_way.iter().zip(other.iter().cycle());
            spread(pairs.map(|(own, other)| other / own).collect())
        };
        let [air_k, heat_percent] = errors[way];
        let error = if air_k.is_nan() {
            String::new()
        } else {
            format!("{air_k:9.3} {heat_percent:+8.2}")
        };
        println!(
            "{name:38} {:>28} {:>28} {:>28}   {error}",
            spread(of_way.clone()),
            against(&times[0]),
            against(&times[WAYS.len() - 1]),
        );
    }
}
