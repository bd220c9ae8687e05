//! One half-hour step of an inflated pair on a January night and on a June day.
#![allow(missing_docs, reason = "criterion's macros write undocumented items")]

use std::hint::black_box;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use overwinter_engine::account::Account;
use overwinter_engine::season::Season;
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::{houses, years};

const STEP_S: f64 = 1800.0;

fn bench(criterion: &mut Criterion) {
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    let house = houses::inflated_pair();
    let sun = sunlight(&house, &year);
    let (houses, suns, years) = ([&house], [&sun], [&year]);
    for (name, hour) in [
        ("step, January night", 15 * 24 + 3),
        ("step, June day", 170 * 24 + 12),
    ] {
        let mut season = Season::<f64>::new(&houses, &suns, &years, 2).expect("the house fits");
        season
            .run_up(hour - 240, hour)
            .expect("the spell is reached");
        let conditions = season.conditions_at(hour, 0.5).clone();
        let stepper = season.stepper().clone();
        criterion.bench_function(name, |b| {
            b.iter_batched_ref(
                || (stepper.clone(), conditions.clone(), Account::default()),
                |(stepper, conditions, account)| {
                    stepper.advance(STEP_S, black_box(conditions), account, |_, _| {});
                },
                BatchSize::SmallInput,
            );
        });
    }
}

criterion_group!(benches, bench);
criterion_main!(benches);
