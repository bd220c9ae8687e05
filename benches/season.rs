//! One season of one case, alone and as one of four lanes: 8,760 h and the run-up of 61 days.
#![allow(missing_docs, reason = "criterion's macros write undocumented items")]

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use overwinter_engine::house::House;
use overwinter_engine::season::{STEPS_PER_HOUR, Season};
use overwinter_engine::sunlight::{Sunlight, sunlight};
use overwinter_physics::number::{Lanes, Real};
use overwinter_tests::{houses, years};
use overwinter_weather::Year;

const HOURS: u64 = 8760;
const LANES: usize = 4;

fn bench(criterion: &mut Criterion) {
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    let mut group = criterion.benchmark_group("season");
    group.sample_size(20);
    for (name, house) in [
        ("inflated pair", houses::inflated_pair()),
        ("single film", houses::single_film()),
        ("pair with screen", houses::pair_with_screen()),
        ("light room", houses::light_room()),
    ] {
        group.throughput(Throughput::Elements(HOURS));
        let sun = sunlight(&house, &year);
        group.bench_function(name, |b| b.iter(|| seasons::<f64>(&house, &sun, &year, 1)));
    }
    group.throughput(Throughput::Elements(HOURS * LANES as u64));
    let pair = houses::inflated_pair();
    let sun = sunlight(&pair, &year);
    group.bench_function("inflated pair, four lanes", |b| {
        b.iter(|| seasons::<Lanes<LANES>>(&pair, &sun, &year, LANES));
    });
    group.finish();
}

/// The light is computed beforehand: cases of one climate and geometry share it.
fn seasons<R: Real>(house: &House, sun: &Sunlight, year: &Year, lanes: usize) {
    let (houses, suns, years) = (vec![house; lanes], vec![sun; lanes], vec![year; lanes]);
    let records = Season::<R>::new(&houses, &suns, &years, STEPS_PER_HOUR)
        .expect("the houses fit")
        .run();
    black_box(records).expect("the season is finished");
}

criterion_group!(benches, bench);
criterion_main!(benches);
