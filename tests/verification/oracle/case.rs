//! A house in a climate, stepped and solved, and how far the two are apart.

use overwinter_engine::house::House;
use overwinter_engine::model::AIR;
use overwinter_engine::season::Season;
use overwinter_engine::sunlight::{Sunlight, sunlight};
use overwinter_tests::years;
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

use crate::reference::{self, Course};

/// First days of the spells: winter, spring, summer, autumn.
const SPELLS_FROM_DAY: [usize; 4] = [12, 100, 200, 290];
const SPELL_DAYS: usize = 10;
/// Hours of the engine's run-up before 1 January.
const RUN_UP_H: usize = 61 * 24;
/// Relative tolerance of the solver where step lengths are compared.
const TIGHT: f64 = 1e-8;
/// The same where much time is to be followed. Over the spells of eight climates the tighter one
/// moves the distance by less than 1e-4 K RMS and 0.005 % of the heat.
pub(crate) const LOOSER: f64 = 1e-6;

pub(crate) struct Case {
    house: House,
    year: Year,
    sun: Sunlight,
}

/// What the engine found at its own step: air and heat of each hour.
pub(crate) struct Stepped {
    air_k: Vec<f64>,
    heat_mj: Vec<f64>,
}

/// How far the steps are from the solver.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Distance {
    hours: usize,
    squares_k2: f64,
    pub(crate) worst_k: f64,
    heat_mj: [f64; 2],
}

impl Distance {
    pub(crate) fn add(&mut self, stepped: &Stepped, truth: &Course, from: usize) {
        for (index, (unknowns, heat_mj)) in truth.unknowns.iter().zip(&truth.heat_mj).enumerate() {
            self.add_hour(stepped, from + index, unknowns[AIR], *heat_mj);
        }
    }

    fn add_hour(&mut self, stepped: &Stepped, hour: usize, air_k: f64, heat_mj: f64) {
        let error_k = stepped.air_k[hour] - air_k;
        self.squares_k2 += error_k * error_k;
        self.worst_k = self.worst_k.max(error_k.abs());
        self.heat_mj[0] += stepped.heat_mj[hour];
        self.heat_mj[1] += heat_mj;
        self.hours += 1;
    }

    pub(crate) fn rms_k(&self) -> f64 {
        (self.squares_k2 / self.hours as f64).sqrt()
    }

    pub(crate) fn heat_percent(&self) -> f64 {
        if self.heat_mj[1] == 0.0 {
            return 0.0;
        }
        (self.heat_mj[0] / self.heat_mj[1] - 1.0) * 100.0
    }
}

impl Case {
    pub(crate) fn new(house: House, file: &str) -> Self {
        let year = years::shipped(file).expect("a shipped year reads");
        let sun = sunlight(&house, &year);
        Self { house, year, sun }
    }

    pub(crate) fn stepped(&self, steps_per_hour: usize) -> Stepped {
        let (houses, suns, years) = ([&self.house], [&self.sun], [&self.year]);
        let mut season =
            Season::<f64>::new(&houses, &suns, &years, steps_per_hour).expect("the house fits");
        let record = season.run().expect("the season is finished").remove(0);
        Stepped {
            air_k: record.hours.air_temp_k,
            heat_mj: record.hours.heat_w.iter().map(|w| w * 3600e-6).collect(),
        }
    }

    /// The solver's course of a spell, from the state in which half-hour steps come to it.
    pub(crate) fn solved(&self, from: usize, hours: usize, tolerance: f64) -> Course {
        let (houses, suns, years) = ([&self.house], [&self.sun], [&self.year]);
        let mut season = Season::<f64>::new(&houses, &suns, &years, 2).expect("the house fits");
        season
            .run_up(HOURS - RUN_UP_H, HOURS)
            .expect("the run-up is finished");
        season.run_up(0, from).expect("the spell is reached");
        reference::follow(&mut season, from, from + hours, tolerance)
    }

    /// Distances over the four spells at 30 minutes: of all hours, and of those without sun.
    pub(crate) fn spells_by_half_hours(&self) -> [Distance; 2] {
        let stepped = self.stepped(2);
        let mut distances = [Distance::default(); 2];
        for day in SPELLS_FROM_DAY {
            let from = day * 24;
            let truth = self.solved(from, SPELL_DAYS * 24, LOOSER);
            for (index, (unknowns, heat_mj)) in
                truth.unknowns.iter().zip(&truth.heat_mj).enumerate()
            {
                let hour = from + index;
                distances[0].add_hour(&stepped, hour, unknowns[AIR], *heat_mj);
                if self.year.global_horizontal_w_m2[hour] <= 0.0 {
                    distances[1].add_hour(&stepped, hour, unknowns[AIR], *heat_mj);
                }
            }
        }
        distances
    }

    /// Distances over the four spells at 30, 15 and 7.5 minutes.
    pub(crate) fn spells(&self, name: &str) -> [Distance; 3] {
        let steps = [2, 4, 8];
        let stepped = steps.map(|steps| self.stepped(steps));
        let mut distances = [Distance::default(); 3];
        for day in SPELLS_FROM_DAY {
            let truth = self.solved(day * 24, SPELL_DAYS * 24, TIGHT);
            for (distance, stepped) in distances.iter_mut().zip(&stepped) {
                let mut spell = Distance::default();
                spell.add(stepped, &truth, day * 24);
                distance.add(stepped, &truth, day * 24);
                println!(
                    "{name}, day {day}: air {:.4} K RMS, {:.2} K at most; heat {:+.2} %",
                    spell.rms_k(),
                    spell.worst_k,
                    spell.heat_percent()
                );
            }
        }
        for (distance, steps) in distances.iter().zip(steps) {
            println!(
                "{name}, {} min: air {:.4} K RMS, {:.2} K at most; heat {:+.3} %",
                60 / steps,
                distance.rms_k(),
                distance.worst_k,
                distance.heat_percent()
            );
        }
        distances
    }
}
