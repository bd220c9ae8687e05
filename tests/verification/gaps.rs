//! Gaps that lose their air in a season: what a dead blower and a torn film do to the house.
#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

use std::ops::ControlFlow;

use overwinter_engine::branch::BranchMoment;
use overwinter_engine::events::Generator;
use overwinter_engine::failure::{Carried, Failure, Tear, TornFilm};
use overwinter_engine::house::House;
use overwinter_engine::inflated::Severity;
use overwinter_engine::outage::{CurvePoint, FailingNow, curve, drying};
use overwinter_physics::inflation::deflate::emptying_time_s;
use overwinter_tests::nights::{DUSK, Scene, failing};
use overwinter_tests::{gaps, houses};

/// What counts as a touch: slack films press on each other by a trace before the air is gone.
const SLACK_SPREAD: f64 = 0.01;

/// 18:00 of 3 April, when films dry by day.
const EARLY_APRIL: usize = 92 * 24 + 18;

fn curve_of(
    scene: &Scene,
    failures: &[Failure],
    length_h: f64,
    severity: Severity,
) -> Vec<CurvePoint> {
    let failing = FailingNow {
        failures: failures.to_vec(),
        generator: None,
    };
    let points = scene.at_hour(DUSK, |season, saved| {
        season.set_severity(severity);
        curve(season, saved, &failing, length_h, 6.0)
    });
    points.expect("the curve")
}

fn fed_pair(flap: bool) -> House {
    gaps::fed(houses::inflated_pair(), flap, false).expect("sizes that exist")
}

/// Share of the cover that touches, and heat, `after_h` hours into a curve.
fn at(points: &[CurvePoint], after_h: f64) -> (f64, f64) {
    let found = points
        .iter()
        .find(|point| point.after_h > after_h - 1e-6)
        .expect("the curve is longer");
    (found.touching_share, found.heat_w)
}

/// In a calm the gaps stay open until their air is nearly gone, then touch; the heater makes up for it;
/// once the blower runs again the house is as before.
#[test]
fn a_dead_blower_costs_heat_once_the_films_touch() {
    let case = Scene::in_the_cold(fed_pair(false)).in_wind_of(0.0);
    let points = curve_of(&case, &[Failure::Blower], 14.0, Severity::Likely);
    let held = curve_of(&case, &[], 14.0, Severity::Likely);
    let (open, open_w) = at(&points, 3.0);
    let (shut, shut_w) = at(&points, 10.0);
    assert!(open < SLACK_SPREAD && shut > 0.999, "{open} {shut}");
    // No outdoor air is blown through a gap that stands still.
    assert!(open_w < at(&held, 3.0).1, "{open_w}");
    let more = shut_w / at(&held, 10.0).1;
    println!("a collapsed pair takes {more:.2} times the heat of an inflated one");
    assert!((1.10..1.45).contains(&more), "{more}");
    let mut single = houses::single_film();
    single.heaters[0].output_w = case.house.heaters[0].output_w;
    let single = Scene::in_the_cold(single).in_wind_of(0.0);
    let single_w = at(&curve_of(&single, &[], 14.0, Severity::Likely), 10.0).1;
    assert!(shut_w < single_w, "{shut_w} {single_w}");
    let (again, again_w) = at(&points, 19.0);
    assert!(again.abs() < 1e-9, "{again}");
    assert!((again_w - at(&held, 19.0).1).abs() < 0.1 * open_w);
}

/// The time until the first touch is that in which all but the last 25 mm of the roof's gap leave through
/// all leaks, at the pressure of the roof film's own weight: V / sum Q(p).
#[test]
fn gaps_empty_as_their_ways_let_them() {
    let case = Scene::in_the_cold(fed_pair(true)).in_wind_of(0.0);
    let fed = case.house.inflation.as_ref().expect("a fed house");
    let roof = &fed.network.sections[0];
    let all = fed.network.sections.iter().flat_map(|gap| &gap.openings);
    let ways: Vec<_> = all.map(|way| way.opening).collect();
    let weight_pa = fed.films[0].film_weight_pa;
    let below_m = fed.touching_below_m.likely;
    let lost_m3 = roof.volume_m3 - below_m * roof.area_m2;
    let by_hand_h = emptying_time_s(lost_m3, weight_pa, &ways) / 3600.0;
    let points = curve_of(&case, &[Failure::Blower], 40.0, Severity::Likely);
    let first = points
        .iter()
        .find(|point| point.touching_share > SLACK_SPREAD)
        .expect("they touch");
    println!(
        "first touch after {:.2} h, by hand {by_hand_h:.2} h",
        first.after_h
    );
    assert!((first.after_h / by_hand_h - 1.0).abs() < 0.1);
}

/// A flap that shuts keeps the air in for longer.
#[test]
fn a_shut_flap_keeps_the_gap_open_for_longer() {
    let first_touch_h = |flap: bool| {
        let case = Scene::in_the_cold(fed_pair(flap)).in_wind_of(0.0);
        let points = curve_of(&case, &[Failure::Blower], 30.0, Severity::Likely);
        let first = points.iter().find(|point| point.touching_share > 0.2);
        first.expect("they touch").after_h
    };
    let (shut_h, open_h) = (first_touch_h(true), first_touch_h(false));
    println!("first touch after {shut_h:.1} h with the flap shut, {open_h:.1} h open");
    assert!(shut_h > 1.2 * open_h);
}

/// What nobody has measured moves the answer in the order it should, with and without wind.
#[test]
fn harsher_estimates_never_leave_the_house_warmer() {
    let mut house = fed_pair(false);
    house.heaters[0].output_w = 20e3;
    for wind_m_s in [0.3, 2.0, 6.0] {
        let case = Scene::in_the_cold(house.clone()).in_wind_of(wind_m_s);
        let lowest_k = Severity::ALL.map(|severity| {
            let points = curve_of(&case, &[Failure::Blower], 14.0, severity);
            points
                .iter()
                .fold(f64::INFINITY, |low, point| low.min(point.air_k))
        });
        println!("wind {wind_m_s} m/s: lowest air {lowest_k:.2?} K");
        assert!(lowest_k[0] >= lowest_k[1] && lowest_k[1] >= lowest_k[2]);
        assert!(lowest_k[0] > lowest_k[2] + 0.1, "the estimates matter");
    }
}

/// A pair whose blower is dead is never warmer than one that is kept up.
#[test]
fn a_dead_blower_never_leaves_the_house_warmer() {
    let mut house = fed_pair(false);
    house.heaters[0].output_w = 25e3;
    let case = Scene::in_the_cold(house);
    let lowest_k = |failures: &[Failure]| {
        let points = curve_of(&case, failures, 14.0, Severity::Likely);
        points
            .iter()
            .fold(f64::INFINITY, |low, point| low.min(point.air_k))
    };
    let (dead_k, kept_k) = (lowest_k(&[Failure::Blower]), lowest_k(&[]));
    println!("lowest air {dead_k:.2} K with a dead blower, {kept_k:.2} K without");
    assert!(dead_k < kept_k);
}

/// A tear lets a gap go flat though the blower runs; a hole through both films lets the house leak too.
#[test]
fn torn_films_cost_heat() {
    let case = Scene::in_the_cold(fed_pair(false)).in_wind_of(1.0);
    let tear = |film: TornFilm, area_m2: f64| {
        let torn = Failure::Tear(Tear {
            film,
            area_m2,
            gap: 0,
        });
        at(&curve_of(&case, &[torn], 14.0, Severity::Likely), 12.0)
    };
    let (whole, whole_w) = at(&curve_of(&case, &[], 14.0, Severity::Likely), 12.0);
    assert!(whole.abs() < 1e-9);
    for film in [TornFilm::Outer, TornFilm::Inner, TornFilm::Both] {
        let [(small, small_w), (large, large_w)] = [0.01, 0.2].map(|m2| tear(film, m2));
        println!(
            "{film:?}: {small:.2} {small_w:.0} W, {large:.2} {large_w:.0} W of {whole_w:.0} W"
        );
        assert!(large >= small && large_w > small_w && large_w > 1.05 * whole_w);
    }
    let outer_w = tear(TornFilm::Outer, 0.2).1;
    assert!(tear(TornFilm::Both, 0.2).1 > outer_w + 1000.0, "{outer_w}");
}

/// A generator that carries everything ends the failure of the grid; one that carries nothing is none.
#[test]
fn a_generator_ends_a_power_failure_for_what_it_carries() {
    let case = Scene::in_the_cold(fed_pair(false));
    let end_of = |generator: Option<Generator>| {
        let failing = FailingNow {
            failures: vec![Failure::Power],
            generator,
        };
        case.at_hour(DUSK, |season, saved| {
            let points = curve(season, saved, &failing, 8.0, 0.0).expect("the curve");
            points
                .into_iter()
                .map(|point| point.air_k)
                .collect::<Vec<f64>>()
        })
    };
    let carrying = |start_after_h: f64, carries: Carried| {
        end_of(Some(Generator {
            start_after_h,
            carries,
        }))
    };
    let all = Carried {
        heaters: vec![0],
        blowers: true,
        fans: true,
    };
    let none = end_of(None);
    assert_eq!(carrying(0.25, Carried::default()), none);
    let started = carrying(0.25, all.clone());
    // The first three steps of 5 minutes are those without a generator.
    assert_eq!(started[..3], none[..3]);
    assert!(started[3] > none[3]);
    assert!(*started.last().expect("steps") > 277.0, "{started:?}");
    let at_once = carrying(0.0, all);
    assert!(at_once.iter().all(|air_k| *air_k > 277.0));
    let blower_only = carrying(
        0.25,
        Carried {
            blowers: true,
            ..Carried::default()
        },
    );
    assert!(*blower_only.last().expect("steps") >= *none.last().expect("steps"));
}

/// Drying is counted beside the same days without the failure: never sooner than there, and the same
/// where nothing failed.
#[test]
fn a_house_that_was_off_for_a_day_dries_no_sooner() {
    let case = Scene::in_the_cold(fed_pair(false));
    case.at_hour(EARLY_APRIL, |season, saved| {
        let failing = |failures: &[Failure]| FailingNow {
            failures: failures.to_vec(),
            generator: None,
        };
        let off = drying(season, saved, &failing(&[Failure::Power]), 24.0).expect("the week");
        println!("after a day without power: {off:?}");
        let nothing = drying(season, saved, &failing(&[]), 24.0).expect("the week");
        println!("after nothing: {nothing:?}");
        for wet in [nothing.film, nothing.gap] {
            assert_eq!(wet.dry_h, wet.dry_without_h);
            assert!(wet.wetter_h.abs() < 1e-9);
        }
        assert_eq!(off.film.dry_without_h, nothing.film.dry_without_h);
        let [off_h, held_h] = [off, nothing].map(|found| found.film.dry_h.expect("dry in April"));
        assert!(off_h >= held_h, "{off_h} {held_h}");
    });
}

/// Branches of a season that has failed in other ways before are those of a fresh one, to the bit.
#[test]
fn what_a_season_did_before_leaves_no_trace_in_its_gaps() {
    let scene = Scene::in_the_cold(fed_pair(false));
    let failing = |failures: &[Failure], generator: Option<Generator>| FailingNow {
        failures: failures.to_vec(),
        generator,
    };
    let blower = failing(&[Failure::Blower], None);
    let bits = |points: Vec<CurvePoint>| -> Vec<[u64; 2]> {
        let of = |point: &CurvePoint| [point.air_k.to_bits(), point.touching_share.to_bits()];
        points.iter().map(of).collect()
    };
    let fresh = scene.at_hour(DUSK, |season, saved| {
        bits(curve(season, saved, &blower, 14.0, 4.0).expect("the curve"))
    });
    let generator = Generator {
        start_after_h: 1.5,
        carries: Carried {
            blowers: true,
            ..Carried::default()
        },
    };
    let torn = Failure::Tear(Tear {
        film: TornFilm::Both,
        area_m2: 0.1,
        gap: 0,
    });
    scene.at_hour(DUSK, |season, saved| {
        let mut after = |failing: &FailingNow, severity: Severity, length_h: f64| {
            season.set_severity(severity);
            curve(season, saved, failing, length_h, 1.0).expect("the curve");
            season.set_severity(Severity::Likely);
            bits(curve(season, saved, &blower, 14.0, 4.0).expect("the curve"))
        };
        let power = failing(&[Failure::Power], Some(generator));
        let others = [
            (failing(&[Failure::Power], None), Severity::Likely, 3.5),
            (power, Severity::Likely, 6.0),
            (blower.clone(), Severity::Harsh, 2.0),
            (failing(&[torn], None), Severity::Kind, 5.0),
        ];
        for (other, severity, length_h) in others {
            let again = after(&other, severity, length_h);
            assert!(again == fresh, "{other:?} {severity:?} is still felt");
        }
    });
}

/// Gaps are as far after half-hour steps as after those of five minutes.
#[test]
fn gaps_keep_time_in_steps_of_any_length() {
    let scene = Scene::in_the_cold(fed_pair(false)).in_wind_of(0.5);
    let by_hour = |steps: fn(usize) -> usize| {
        scene.at_hour(DUSK, |season, saved| {
            let events = failing(saved, &[Failure::Blower], 24.0);
            let mut shares = Vec::new();
            let each = |moment: &BranchMoment<f64>| {
                if (moment.after_h - moment.after_h.round()).abs() < 1e-9 {
                    shares.push(moment.touching_share);
                }
                ControlFlow::Continue(())
            };
            season
                .branch(saved, 30, &events, steps, each)
                .expect("a branch");
            shares
        })
    };
    let fine = by_hour(|_| 12);
    for coarse in [
        by_hour(|hour| if hour < 2 { 12 } else { 2 }),
        by_hour(|_| 2),
    ] {
        let pairs = fine.iter().zip(&coarse);
        let apart = pairs.fold(0.0, |most: f64, (fine, coarse)| {
            most.max((fine - coarse).abs())
        });
        println!("share that touches, apart by {apart:.3} at most");
        assert!(apart < 0.05, "{fine:.2?} {coarse:.2?}");
    }
}
