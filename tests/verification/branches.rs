//! Branches of a season: what a saved state gives again, and what a failure does and does not do.
#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

use std::ops::ControlFlow;

use overwinter_engine::branch::{BranchMoment, Saved};
use overwinter_engine::events::EventPlan;
use overwinter_engine::failure::{Door, EmptyGaps, Failure};
use overwinter_engine::house::House;
use overwinter_engine::model::AIR;
use overwinter_engine::outage::{FailingNow, Marks, Question, outage, saved_states};
use overwinter_engine::season::{STEPS_PER_HOUR, Season};
use overwinter_tests::houses;
use overwinter_tests::nights::{self, DUSK, Scene, failing, lowest_k};
use overwinter_weather::year::HOURS;

/// House air at the end of every step of a branch in which `failed` fails for some hours.
fn air_k(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    hours: usize,
    failed: &[Failure],
    failed_h: usize,
) -> Vec<f64> {
    let events = failing(start, failed, failed_h as f64);
    nights::air_k(season, start, hours, &events, STEPS_PER_HOUR)
}

/// Mean output of the heaters over a branch in which `failed` fails from start to end.
fn mean_heat_w(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    hours: usize,
    failed: &[Failure],
) -> f64 {
    let events = failing(start, failed, hours as f64);
    let mut sum_w = 0.0;
    let each = |moment: &BranchMoment<f64>| {
        sum_w += moment.heat_w;
        ControlFlow::Continue(())
    };
    season
        .branch(start, hours, &events, |_| STEPS_PER_HOUR, each)
        .expect("the branch is finished");
    sum_w / (hours * STEPS_PER_HOUR) as f64
}

#[test]
fn a_branch_without_a_failure_is_the_season_to_the_bit() {
    Scene::in_the_cold(houses::inflated_pair()).at_hour(DUSK, |season, saved| {
        let first = air_k(season, saved, 60, &[], 0);
        // What was branched in between leaves no trace.
        air_k(season, saved, 30, &[Failure::Heater(0)], 30);
        assert_eq!(air_k(season, saved, 60, &[], 0), first);
        season
            .branch(
                saved,
                0,
                &EventPlan::default(),
                |_| unreachable!(),
                |_| ControlFlow::Continue(()),
            )
            .expect("an empty branch");
        season.run_up(DUSK, DUSK + 60).expect("the season goes on");
        let last_k = season.stepper().state.now[AIR];
        assert_eq!(last_k.to_bits(), first.last().expect("steps").to_bits());
    });
}

#[test]
fn a_heater_that_fails_lets_the_house_cool_and_comes_back() {
    Scene::in_the_cold(houses::inflated_pair()).at_hour(DUSK, |season, saved| {
        let held = air_k(season, saved, 48, &[], 0);
        let failed = air_k(season, saved, 48, &[Failure::Heater(0)], 8);
        assert!(lowest_k(&held) > 277.0, "held at 5 C: {}", lowest_k(&held));
        let outdoors_k = season.conditions_at(DUSK + 8, 0.0).drive.air_k;
        let at_eight_k = failed[8 * STEPS_PER_HOUR - 1];
        // Without heat it ends above outdoors, by what the floor gives, and far below its set point.
        assert!(
            at_eight_k < 273.15 && at_eight_k > outdoors_k,
            "{at_eight_k} {outdoors_k}"
        );
        // Every step without heat is colder than with it, and half an hour is enough to tell.
        let pairs = held.iter().zip(&failed).take(8 * STEPS_PER_HOUR);
        assert!(pairs.clone().all(|(held, failed)| failed < held));
        assert!(failed[0] < held[0] - 1.0, "{} {}", failed[0], held[0]);
        // A day after it came back the night is forgotten but for the soil.
        let apart_k = held.last().expect("steps") - failed.last().expect("steps");
        assert!((0.0..0.5).contains(&apart_k), "{apart_k}");
    });
}

#[test]
fn the_longer_a_failure_the_colder() {
    Scene::in_the_cold(houses::inflated_pair()).at_hour(DUSK, |season, saved| {
        let lowest: Vec<f64> = [2, 4, 8, 12]
            .map(|failed_h| {
                let air_k = air_k(season, saved, 24, &[Failure::Heater(0)], failed_h);
                lowest_k(&air_k)
            })
            .to_vec();
        assert!(
            lowest.windows(2).all(|pair| pair[1] <= pair[0]),
            "{lowest:?}"
        );
        assert!(lowest[3] < lowest[0] - 1.0, "{lowest:?}");
    });
}

#[test]
fn without_power_a_heater_runs_on_if_it_needs_none() {
    let mut house = houses::inflated_pair();
    house.heaters[0].needs_electricity = true;
    let needing = Scene::in_the_cold(house.clone()).at_hour(DUSK, |season, saved| {
        air_k(season, saved, 8, &[Failure::Power], 8)
    });
    house.heaters[0].needs_electricity = false;
    let standing = Scene::in_the_cold(house).at_hour(DUSK, |season, saved| {
        air_k(season, saved, 8, &[Failure::Power], 8)
    });
    assert!(needing.last() < Some(&273.15), "{needing:?}");
    assert!(standing.iter().all(|air_k| *air_k > 277.0), "{standing:?}");
}

#[test]
fn a_branch_may_end_early() {
    Scene::in_the_cold(houses::single_film()).at_hour(DUSK, |season, saved| {
        let cold = failing(saved, &[Failure::Heater(0)], 48.0);
        let mut steps = 0;
        let each = |moment: &BranchMoment<f64>| {
            steps += 1;
            if moment.air_k < 273.15 {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        };
        let usual = |_| STEPS_PER_HOUR;
        season
            .branch(saved, 48, &cold, usual, each)
            .expect("a branch");
        assert!((1..=2 * STEPS_PER_HOUR).contains(&steps), "{steps}");
    });
}

/// Minutes after which the air passes 0 C once the heater has failed, by steps of 5 minutes and of half a
/// minute: the coarse ones stand in for the fine.
#[test]
fn steps_of_five_minutes_tell_when_an_alarm_rings() {
    Scene::in_the_cold(houses::inflated_pair()).at_hour(DUSK, |season, saved| {
        let cold = failing(saved, &[Failure::Heater(0)], 4.0);
        let mut minutes = |steps: usize| {
            let mut last = (0.0, saved.air_k());
            let mut passed_min = f64::NAN;
            let each = |moment: &BranchMoment<f64>| {
                let (before_h, before_k) = last;
                last = (moment.after_h, moment.air_k);
                if moment.air_k >= 273.15 {
                    return ControlFlow::Continue(());
                }
                let share = (before_k - 273.15) / (before_k - moment.air_k);
                passed_min = (before_h + share * (moment.after_h - before_h)) * 60.0;
                ControlFlow::Break(())
            };
            season
                .branch(saved, 4, &cold, |_| steps, each)
                .expect("a branch");
            passed_min
        };
        let [fine, coarse] = [minutes(120), minutes(12)];
        println!("0 C after {fine:.2} min by half minutes, {coarse:.2} min by 5 minutes");
        assert!((coarse - fine).abs() < 1.0, "{coarse} {fine}");
        assert!((2.0..60.0).contains(&fine), "{fine}");
    });
}

/// No rung is warmer than a shorter one, marks are passed in their order, and the
/// leaf is below the air on a clear night.
#[test]
fn a_ladder_falls_rung_by_rung() {
    let case = Scene::in_the_cold(houses::inflated_pair());
    let (houses, suns, years) = ([&case.house], [&case.sun], [&case.year]);
    let season = Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR);
    let mut season = season.expect("the house fits");
    let saved = saved_states(&mut season, &[DUSK, DUSK + 7]).expect("the season");
    let question = Question {
        failing: FailingNow {
            failures: vec![Failure::Heater(0)],
            generator: None,
        },
        lengths_h: vec![2.0, 4.0, 8.0, 24.0, 72.0, 144.0],
        marks: Marks {
            alarm_k: 276.15,
            limit_k: 271.15,
            lag_h: 0.25,
            travel_h: 0.05,
        },
    };
    for start in &saved {
        let outage = outage(&mut season, start, &question).expect("the branch");
        assert_eq!(outage.start_hour, start.hour());
        assert_eq!(outage.rungs.len(), 6);
        for pair in outage.rungs.windows(2) {
            assert!(pair[1].lowest_air_k <= pair[0].lowest_air_k);
            assert!(pair[1].lowest_leaf_k <= pair[0].lowest_leaf_k);
        }
        assert!(
            outage
                .rungs
                .iter()
                .all(|rung| rung.lowest_leaf_k < rung.lowest_air_k + 0.5)
        );
        let (alarm_h, freezing_h) = (outage.alarm_h, outage.freezing_h);
        assert!(alarm_h.is_some() && alarm_h < freezing_h, "{outage:?}");
        let (limit_h, lost_h) = (
            outage.limit_h.expect("passed"),
            outage.lost_h.expect("lost"),
        );
        assert!((lost_h - limit_h - 0.25).abs() < 1e-9, "{outage:?}");
        // The air an alarm must see is warmer than when the leaf is at its limit.
        let warning_k = outage.warning_k.expect("time to travel");
        assert!(
            warning_k > 271.15 && warning_k < start.air_k(),
            "{outage:?}"
        );
        assert!(outage.rungs[5].is_lost && outage.plateau_k.is_some());
        println!("from hour {}: {outage:?}", outage.start_hour);
    }
    // The same failure, asked alone and for one length, gives the same rung.
    let short = Question {
        lengths_h: vec![8.0],
        ..question.clone()
    };
    let alone = outage(&mut season, &saved[0], &short).expect("the branch");
    let whole = outage(&mut season, &saved[0], &question).expect("the branch");
    assert_eq!(alone.rungs[0], whole.rungs[2]);
}

/// An open door costs heat where there is a heater, and cold where there is none: more the wider it is.
#[test]
fn an_open_door_lets_the_cold_in() {
    let door = |width_m: f64| {
        Failure::Door(Door {
            width_m,
            height_m: 2.0,
            mixing_share: 0.7,
        })
    };
    Scene::in_the_cold(houses::inflated_pair()).at_hour(DUSK, |season, saved| {
        let lowest = |failed: &[Failure], season: &mut Season<'_, f64>| {
            lowest_k(&air_k(season, saved, 8, failed, 8))
        };
        let heater = Failure::Heater(0);
        let shut_k = lowest(&[heater], season);
        let narrow_k = lowest(&[heater, door(1.0)], season);
        let wide_k = lowest(&[heater, door(3.0)], season);
        assert!(
            wide_k < narrow_k - 0.2 && narrow_k < shut_k - 0.2,
            "{wide_k} {narrow_k} {shut_k}"
        );
        let outdoors_k = season.conditions_at(DUSK + 8, 0.0).drive.air_k;
        assert!(wide_k > outdoors_k - 1.0, "{wide_k} {outdoors_k}");
        let shut_w = mean_heat_w(season, saved, 8, &[]);
        let open_w = mean_heat_w(season, saved, 8, &[door(1.0)]);
        assert!(open_w > 1.05 * shut_w, "{open_w} {shut_w}");
    });
}

/// A screen that is stuck open costs heat on a cold night, one that is stuck closed costs nothing more.
#[test]
fn a_screen_stuck_open_is_missed() {
    Scene::in_the_cold(houses::pair_with_screen()).at_hour(DUSK, |season, saved| {
        let heater = Failure::Heater(0);
        let lowest = |failed: &[Failure], season: &mut Season<'_, f64>| {
            lowest_k(&air_k(season, saved, 8, failed, 8))
        };
        let drawn_k = lowest(&[heater], season);
        let closed_k = lowest(&[heater, Failure::Screens { closed: true }], season);
        let open_k = lowest(&[heater, Failure::Screens { closed: false }], season);
        assert!((closed_k - drawn_k).abs() < 1e-9, "{closed_k} {drawn_k}");
        assert!(open_k < drawn_k - 0.5, "{open_k} {drawn_k}");
    });
}

/// A screen with a motor stays open when the power fails by day, one without is drawn at dusk; one that
/// hangs closed already stays closed.
#[test]
fn a_motor_leaves_the_screen_where_it_is_when_the_power_fails() {
    let lowest = |needs_electricity: bool, after_dusk_h: usize| {
        let mut house = houses::pair_with_screen();
        for section in &mut house.sections {
            if let Some(rule) = &mut section.screen {
                rule.needs_electricity = needs_electricity;
            }
        }
        Scene::in_the_cold(house).at_hour(DUSK, |season, _| {
            let start_hour = DUSK - 3 + after_dusk_h;
            season.run_up(DUSK, HOURS).expect("the year");
            season.run_up(0, start_hour).expect("the winter again");
            let saved = season.save(start_hour);
            lowest_k(&air_k(season, &saved, 8, &[Failure::Power], 8))
        })
    };
    let by_day_k = [true, false].map(|motor| lowest(motor, 0));
    assert!(by_day_k[0] < by_day_k[1] - 0.5, "{by_day_k:?}");
    let by_night_k = [true, false].map(|motor| lowest(motor, 6));
    assert!(
        (by_night_k[0] - by_night_k[1]).abs() < 1e-9,
        "{by_night_k:?}"
    );
}

/// Films that touch lose more than an inflated pair and less than one film: the heat of the night under a
/// pair, a pair that touches all over, and a single film, each from its own dusk.
#[test]
fn a_pair_that_touches_stands_between_a_pair_and_one_film() {
    let touching = |touching_share: f64, touching_w_m2k: f64| {
        Failure::Slack(EmptyGaps {
            touching_share,
            touching_w_m2k,
        })
    };
    let night_w = |house: House, failed: &[Failure]| {
        Scene::in_the_cold(house)
            .at_hour(DUSK, |season, saved| mean_heat_w(season, saved, 12, failed))
    };
    let pair_w = night_w(houses::inflated_pair(), &[]);
    let still_w = night_w(houses::inflated_pair(), &[touching(0.0, 25.0)]);
    let half_w = night_w(houses::inflated_pair(), &[touching(0.5, 25.0)]);
    let whole_w = night_w(houses::inflated_pair(), &[touching(1.0, 25.0)]);
    let bridged_w = night_w(houses::inflated_pair(), &[touching(1.0, 1e4)]);
    let mut single = houses::single_film();
    single.heaters = houses::inflated_pair().heaters;
    single.heaters[0].output_w = 300e3;
    let single_w = night_w(single, &[]);
    println!(
        "heat of the night: pair {pair_w:.0}, blower off {still_w:.0}, half touching {half_w:.0}, \
         touching {whole_w:.0}, bridged {bridged_w:.0}, single film {single_w:.0} W"
    );
    assert!(
        still_w < pair_w,
        "less outdoor air through the gap: {still_w} {pair_w}"
    );
    // Layers of one temperature each: the first contact counts the most.
    assert!(
        half_w > 1.05 * still_w && whole_w > half_w,
        "{half_w} {whole_w}"
    );
    assert!(
        whole_w < bridged_w && bridged_w < 1.1 * single_w,
        "{bridged_w} {single_w}"
    );
}
