//! Order, failures, progress and the independence of the thread count.

use super::*;
use crate::handmade;

/// A season that depends on the house it is given, with a sum whose last bits depend on order.
fn season(case: &Case, _: &Year) -> Result<Stepped, String> {
    let house = &case.house;
    let mut record = handmade::record();
    let scale = (1..2000)
        .map(|n| 1.0 / f64::from(n) / house.volume_m3)
        .sum::<f64>();
    for heat_w in &mut record.hours.heat_w {
        *heat_w *= scale;
    }
    match house.volume_m3 {
        volume if volume < 0.0 => Err("the volume is negative".to_owned()),
        _ => Ok(handmade::stepped(record)),
    }
}

fn varied_study(cases: usize) -> Study {
    let mut study = handmade::study(cases);
    for case in study.cases.held_mut() {
        let mut house = handmade::house();
        house.volume_m3 = 100.0 + 7.0 * case.id as f64;
        case.house = Arc::new(house);
    }
    study
}

#[test]
fn any_number_of_threads_gives_the_same_tables() {
    let study = varied_study(50);
    let tables = |threads| run_study_with(&study, Some(threads), &season).tables();
    let one = tables(1);
    assert_eq!(one[0].row_count(), 50);
    for threads in [2, 8] {
        assert_eq!(tables(threads), one, "{threads} threads");
    }
}

#[test]
fn a_failed_case_is_a_row_and_the_rest_goes_on() {
    let mut study = varied_study(3);
    let mut house = handmade::house();
    house.volume_m3 = -1.0;
    study.cases.held_mut()[1].house = Arc::new(house);
    let result = run_study_with(&study, None, &season);
    assert_eq!(result.failed(), 1);
    let status = &result.cases[1].case.status;
    assert_eq!(*status, Status::Failed(Arc::from("the volume is negative")));
    assert!(result.cases[1].fuel_use.is_empty());
    assert_eq!(result.cases[2].case.case_id, 3);
    assert_eq!(result.cases[2].fuel_use.len(), 13);
}

#[test]
fn a_season_without_all_its_hours_fails() {
    let study = handmade::study(1);
    let short = |_: &Case, _: &Year| -> Result<Stepped, String> {
        let mut record = handmade::record();
        record.hours.heat_w.truncate(24);
        Ok(handmade::stepped(record))
    };
    let result = run_study_with(&study, Some(1), &short);
    let Status::Failed(reason) = &result.cases[0].case.status else {
        panic!("24 hours are no season");
    };
    assert!(reason.contains("24 hours of heat"), "{reason}");
}

#[test]
fn a_season_with_impossible_humidity_fails() {
    let study = handmade::study(1);
    for (share, shown) in [(-0.2, "-20 %"), (1.5, "150 %"), (f64::NAN, "NaN %")] {
        let wrong = move |_: &Case, _: &Year| -> Result<Stepped, String> {
            let mut record = handmade::record();
            record.hours.relative_humidity[9 * 24 + 7] = share;
            Ok(handmade::stepped(record))
        };
        let result = run_study_with(&study, Some(1), &wrong);
        let reason = result.cases[0].case.reason().expect("no air is like that");
        assert!(
            reason.contains(shown) && reason.contains("01-10 07:00"),
            "{reason}"
        );
    }
}

#[test]
fn hours_are_kept_only_when_asked_for() {
    let mut study = handmade::study(1);
    let run = |study: &Study| run_study_with(study, Some(1), &season);
    assert_eq!(run(&study).tables().len(), 5);
    study.wants_hourly = true;
    let tables = run(&study).tables();
    assert_eq!(tables.len(), 6);
    assert_eq!(tables[5].row_count(), 8760);
}

#[test]
fn the_shortfall_is_the_worst_hour() {
    let result = run_study_with(&handmade::study(1), Some(1), &season);
    let shortfall = result.cases[0].shortfall.expect("2.5 K at one hour");
    assert_eq!(shortfall.hour, 216);
    assert!((shortfall.below_set_k - 2.5).abs() < 1e-12);
}
