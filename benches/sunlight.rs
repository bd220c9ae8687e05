//! The light of a year on a house, and its three steps: outside (once a climate), on the planes of a
//! shell (once a climate and geometry), through a cover.
#![allow(missing_docs, reason = "criterion's macros write undocumented items")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use overwinter_engine::sunlight::{LitHours, LitPlanes, ShellOptics, ShellPlanes, sunlight};
use overwinter_tests::{houses, years};

fn bench(criterion: &mut Criterion) {
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    let mut group = criterion.benchmark_group("sunlight");
    group.sample_size(20);
    group.bench_function("outside", |b| {
        b.iter(|| black_box(LitHours::of(black_box(&year))))
    });
    let lit = LitHours::of(&year);
    for (name, house) in [
        ("inflated pair", houses::inflated_pair()),
        ("pair with screen", houses::pair_with_screen()),
        ("light room", houses::light_room()),
    ] {
        group.bench_function(format!("{name}, whole"), |b| {
            b.iter(|| black_box(sunlight(black_box(&house), &year)))
        });
        let shell = ShellPlanes::of(&house);
        group.bench_function(format!("{name}, on planes"), |b| {
            b.iter(|| black_box(LitPlanes::new(black_box(&shell), &lit)))
        });
        let planes = LitPlanes::new(&shell, &lit);
        let optics = ShellOptics::of(&house);
        group.bench_function(format!("{name}, through the cover"), |b| {
            b.iter(|| black_box(planes.sunlight(black_box(&optics))))
        });
    }
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
