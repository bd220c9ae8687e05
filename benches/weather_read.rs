//! Reading one typical year from memory: TMY3 CSV and the EPW layout.
#![allow(missing_docs, reason = "criterion's macros write undocumented items")]

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use overwinter_tests::years;
use overwinter_weather::read_bytes;

fn bench(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("weather");
    group.sample_size(20);
    for (name, file) in [("TMY3 CSV", years::MILD), ("EPW layout", years::COLD)] {
        let bytes = std::fs::read(years::shipped_path(file)).expect("a shipped file");
        group.throughput(Throughput::Bytes(bytes.len() as u64));
        group.bench_function(name, |b| {
            b.iter(|| {
                black_box(read_bytes(black_box(&bytes), file)).expect("a shipped year reads")
            });
        });
    }
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
