//! The light of a year on a house: once for each climate and geometry.
#![allow(missing_docs, reason = "criterion's macros write undocumented items")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::{houses, years};

fn bench(criterion: &mut Criterion) {
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    let mut group = criterion.benchmark_group("sunlight");
    group.sample_size(20);
    for (name, house) in [
        ("inflated pair", houses::inflated_pair()),
        ("light room", houses::light_room()),
    ] {
        group.bench_function(name, |b| {
            b.iter(|| black_box(sunlight(black_box(&house), &year)))
        });
    }
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
