//! What the screen tells of draws chosen by hand.

use super::*;

/// A case with a cost of fuel and a lowest leaf.
fn cost(fuel_cost: f64, lowest_leaf_k: f64) -> Option<Measures> {
    Some(Measures {
        fuel_cost: Some(fuel_cost),
        currency: Some("USD".to_owned()),
        lowest_leaf_k: Some(lowest_leaf_k),
        ..Measures::default()
    })
}

fn digest_of(plan: &RankingPlan, cases: &[Option<Measures>]) -> Option<Digest> {
    let cases: Vec<Option<&Measures>> = cases.iter().map(Option::as_ref).collect();
    digest(plan, &cases)
}

/// Single film costs 1000, 1100, .. 3000 USD as the draw has it, the pair 50, 51, .. 70 USD less, so
/// that what the pair saves goes with the draw alone.
fn paired() -> (RankingPlan, Vec<Option<Measures>>) {
    let draw = |k: u32| 1000.0 + 100.0 * f64::from(k);
    let single = (0..21).map(|k| cost(draw(k), 274.0));
    let pair = (0..21).map(|k| cost(draw(k) - 50.0 - f64::from(k), 275.0));
    let mut plan = plan(vec![axis("cover", &["single", "pair"], true)], 21);
    let rising: Vec<f64> = (0..21).map(f64::from).collect();
    // As often high as low in either half, so that it goes with nothing.
    let turning: Vec<f64> = (0..21).map(|k: i32| f64::from((k - 10).pow(2))).collect();
    plan.inputs = vec![input("leaks", &turning), input("price", &rising)];
    (plan, single.chain(pair).collect())
}

#[test]
fn designs_stand_in_order_with_what_they_save_and_why() {
    let (plan, cases) = paired();
    let digest = digest_of(&plan, &cases).expect("two designs under draws");
    assert_eq!((digest.draws, digest.inputs), (21, 2));
    let [setting] = digest.settings.as_slice() else {
        panic!("one setting: {:?}", digest.settings);
    };
    assert_eq!(setting.measure, Measure::FuelCost);
    assert_eq!((&*setting.unit, setting.draws), ("USD", 21));
    assert_eq!(setting.baseline.as_deref(), Some("single"));
    let [pair, single] = setting.designs.as_slice() else {
        panic!("two designs");
    };
    assert_eq!((&*pair.label, &*single.label), ("pair", "single"));
    // By hand: see the same draws in the tables.
    let Spread { median, range, .. } = pair.value;
    assert_eq!((median, range), (1940.0, Some([1049.0, 2831.0])));
    let less = pair.less_baseline.expect("against single film");
    assert_eq!((less.median, less.range), (-60.0, Some([-69.0, -51.0])));
    assert_eq!(pair.better_share, Some(1.0));
    assert_eq!((single.less_baseline, single.better_share), (None, None));
    assert_eq!(pair.lowest_k.map(|lowest| lowest.median), Some(275.0));
    let by = |input: &str, correlation| DrivenBy {
        input: Arc::from(input),
        correlation,
    };
    assert_eq!(pair.drivers, [by("price", 1.0)]);
    assert_eq!(pair.difference_drivers, [by("price", -1.0)]);
    assert_eq!(single.difference_drivers, []);
}

#[test]
fn a_setting_whose_designs_need_no_heat_is_ordered_by_its_cold() {
    let labels = ["single", "pair"];
    let axes = vec![
        axis("cover", &labels, true),
        axis("climate", &["north", "south"], false),
    ];
    let plan = plan(axes, 2);
    // North costs money, south does not.
    let cases = [
        [9.0, 8.0, 0.0, 0.0, 5.0, 6.0, 0.0, 0.0],
        [270.0, 271.0, 274.0, 275.0, 272.0, 273.0, 276.0, 277.0],
    ];
    let cases: Vec<_> = (0..8).map(|at| cost(cases[0][at], cases[1][at])).collect();
    let digest = digest_of(&plan, &cases).expect("a digest");
    let found: Vec<_> = digest
        .settings
        .iter()
        .map(|setting| {
            let best = &setting.designs[0];
            (&*setting.labels[0], setting.measure, &*best.label)
        })
        .collect();
    let wanted = [
        ("north", Measure::FuelCost, "pair"),
        ("south", Measure::LowestLeaf, "pair"),
    ];
    assert_eq!(found, wanted);
    // Fewer than ten draws have no range and no drivers.
    let pair = &digest.settings[0].designs[0];
    assert_eq!((pair.value.range, pair.value.median), (None, 5.5));
    assert!(pair.drivers.is_empty());
}

#[test]
fn what_did_not_run_is_not_told() {
    let (plan, mut cases) = paired();
    cases[3] = None;
    let digest = digest_of(&plan, &cases).expect("twenty draws are left");
    let setting = &digest.settings[0];
    assert_eq!(setting.draws, 20);
    // The draw that single film lacks, 1300 USD, counts nowhere: of what is left the pair has the
    // median of 1940 and 2039 USD, saved 60 and 61.
    let pair = &setting.designs[0];
    let less = pair.less_baseline.expect("against single film");
    assert_eq!((pair.value.median, less.median), (1989.5, -60.5));
    assert_eq!(pair.lowest_k.map(|lowest| lowest.count), Some(20));
    assert_eq!(digest_of(&plan, &vec![None; 42]), None);
    let alone = RankingPlan { draws: 1, ..plan };
    assert_eq!(digest_of(&alone, &cases[..2]), None);
}

#[test]
fn what_saves_by_being_too_cold_stands_last() {
    let (plan, mut cases) = paired();
    // The pair, cheaper in every draw, lacks 0, 1, .. 20 MJ.
    for (k, case) in cases[21..].iter_mut().enumerate() {
        let measures = case.as_mut().expect("it ran");
        measures.unmet_j = Some(1e6 * k as f64);
    }
    let digest = digest_of(&plan, &cases).expect("a digest");
    let labels: Vec<_> = digest.settings[0]
        .designs
        .iter()
        .map(|of| &*of.label)
        .collect();
    assert_eq!(labels, ["single", "pair"]);
    let [single, pair] = [0, 1].map(|at| digest.settings[0].designs[at].unheld);
    let wanted = Unheld {
        share: 20.0 / 21.0,
        lacking_j: 10.5e6,
    };
    assert_eq!((single, pair), (None, Some(wanted)));
}
