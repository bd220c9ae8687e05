//! Parts that come and go, shares, runs that stop; with seasons chosen by hand.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::*;
use crate::case::Study;
use crate::handmade;

/// Seasons whose fuel differs from case to case; every eleventh case fails.
fn season(case: &Case, _: &Year) -> Result<Stepped, String> {
    if case.id.is_multiple_of(11) {
        return Err(format!("no season for case {}", case.id));
    }
    let mut record = handmade::record();
    for heat_w in &mut record.hours.heat_w {
        *heat_w *= 1.0 + 1e-3 * case.id as f64;
    }
    Ok(handmade::stepped(record))
}

fn study() -> Study {
    handmade::study(150)
}

fn how(threads: usize, shard: Shard, stop: &AtomicBool) -> How<'_> {
    How {
        threads: Some(threads),
        shard,
        stop,
    }
}

/// Every file below a folder with its bytes.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        if path.is_dir() {
            let below = files(&path).into_iter();
            all.extend(below.map(|(file, bytes)| (format!("{name}/{file}"), bytes)));
        } else {
            all.insert(name, fs::read(&path).expect("read"));
        }
    }
    all
}

/// The files of an undisturbed run.
fn undisturbed() -> BTreeMap<String, Vec<u8>> {
    let temp = tempfile::tempdir().expect("a folder");
    let study = study();
    let sweep = Sweep::open(&study, temp.path(), false).expect("opened");
    let stop = AtomicBool::new(false);
    let reached = sweep
        .run_with(&how(1, Shard::ALL, &stop), &|_| (), &season)
        .expect("ran");
    assert_eq!((reached.done, reached.failed), (150, 13));
    let gathered = sweep.finish(Some(1)).expect("joined");
    assert_eq!((gathered.notes.len(), gathered.failed()), (150, 13));
    files(temp.path())
}

fn assert_same(found: &BTreeMap<String, Vec<u8>>, expected: &BTreeMap<String, Vec<u8>>) {
    assert_eq!(
        found.keys().collect::<Vec<_>>(),
        expected.keys().collect::<Vec<_>>()
    );
    for (name, bytes) in expected {
        assert!(found[name] == *bytes, "{name} differs");
    }
}

#[test]
fn a_run_that_was_stopped_ends_as_one_that_was_not() {
    let expected = undisturbed();
    for stop_after in [0, 1, 37, 120] {
        let temp = tempfile::tempdir().expect("a folder");
        let study = study();
        let stop = AtomicBool::new(false);
        let count = AtomicUsize::new(0);
        let counted = |case: &Case, year: &Year| {
            if count.fetch_add(1, Ordering::SeqCst) == stop_after {
                stop.store(true, Ordering::SeqCst);
            }
            season(case, year)
        };
        let sweep = Sweep::open(&study, temp.path(), false).expect("opened");
        let reached = sweep
            .run_with(&how(2, Shard::ALL, &stop), &|_| (), &counted)
            .expect("ran");
        assert!(reached.done < 150, "stopped after {stop_after}");
        assert!(matches!(
            sweep.finish(None),
            Err(GatherError::Missing { cases: 150, .. })
        ));
        // The same again, with no word of replacing anything.
        let sweep = Sweep::open(&study, temp.path(), false).expect("gone on with");
        let stop = AtomicBool::new(false);
        let first = Mutex::new(None);
        let note = |progress| {
            first.lock().expect("whole").get_or_insert(progress);
        };
        let again = sweep
            .run_with(&how(2, Shard::ALL, &stop), &note, &season)
            .expect("ran");
        let first = first
            .into_inner()
            .expect("whole")
            .expect("told at the start");
        assert_eq!((first.done, first.kept), (reached.done, reached.done));
        assert_eq!((again.done, again.total, again.failed), (150, 150, 13));
        sweep.finish(Some(2)).expect("joined");
        assert_same(&files(temp.path()), &expected);
    }
}

#[test]
fn the_bytes_are_the_same_for_any_number_of_threads() {
    let expected = undisturbed();
    for threads in [2, 8] {
        let temp = tempfile::tempdir().expect("a folder");
        let study = study();
        let sweep = Sweep::open(&study, temp.path(), false).expect("opened");
        let stop = AtomicBool::new(false);
        sweep
            .run_with(&how(threads, Shard::ALL, &stop), &|_| (), &season)
            .expect("ran");
        sweep.finish(Some(threads)).expect("joined");
        assert_same(&files(temp.path()), &expected);
    }
}

#[test]
fn shares_joined_in_any_order_are_the_whole() {
    let expected = undisturbed();
    let temp = tempfile::tempdir().expect("a folder");
    let study = study();
    let stop = AtomicBool::new(false);
    for number in 1..=5 {
        let shard = Shard::new(number, 5).expect("a share");
        let path = temp.path().join(number.to_string());
        let sweep = Sweep::open(&study, &path, false).expect("opened");
        let reached = sweep.run_with(&how(1, shard, &stop), &|_| (), &season);
        let reached = reached.expect("ran");
        assert_eq!(reached.done, reached.total);
        assert!(reached.total < 150);
    }
    let folder = |number: usize| temp.path().join(number.to_string());
    let out = temp.path().join("out");
    let some = [4, 2, 5, 1].map(folder);
    let error = gather(&some, &out, false, None).expect_err("one share is missing");
    assert!(
        matches!(error, GatherError::Missing { cases: 150, .. }),
        "{error}"
    );
    assert!(!out.exists(), "nothing was begun");
    // One is named twice, as a scheduler that tries again may do.
    let all = [4, 2, 5, 1, 3, 2].map(folder);
    gather(&all, &out, false, Some(2)).expect("joined");
    assert_same(&files(&out), &expected);
}

/// A share four times as large needs no more memory at any time.
#[test]
fn memory_does_not_grow_with_the_number_of_cases() {
    let study = handmade::study(4000);
    let stop = AtomicBool::new(false);
    let most_bytes = |of: usize| {
        let temp = tempfile::tempdir().expect("a folder");
        let sweep = Sweep::open(&study, temp.path(), false).expect("opened");
        let shard = Shard::new(1, of).expect("a share");
        let mut cases = 0;
        let used = allocation_counter::measure(|| {
            let reached = sweep.run_with(&how(1, shard, &stop), &|_| (), &season);
            cases = reached.expect("ran").done;
        });
        (cases, used.bytes_max)
    };
    let (few, many) = (most_bytes(32), most_bytes(8));
    assert_eq!((few.0, many.0), (128, 512));
    // Names of the blocks, and nothing else, stand for every case.
    let allowed = few.1 + few.1 / 50;
    assert!(many.1 <= allowed, "{few:?}, {many:?}");
}

#[test]
fn a_part_that_was_changed_is_computed_again() {
    let expected = undisturbed();
    let temp = tempfile::tempdir().expect("a folder");
    let study = study();
    let stop = AtomicBool::new(false);
    let run = |season: &(dyn Fn(&Case, &Year) -> Result<Stepped, String> + Sync)| {
        let sweep = Sweep::open(&study, temp.path(), false).expect("opened");
        let reached = sweep.run_with(&how(2, Shard::ALL, &stop), &|_| (), season);
        (reached.expect("ran"), sweep)
    };
    run(&season);
    let parts = temp.path().join(parts::PARTS);
    let mut names: Vec<_> = fs::read_dir(&parts)
        .expect("parts")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.is_dir())
        .collect();
    names.sort();
    fs::write(names[1].join("balance.parquet"), "cut short").expect("written");
    fs::remove_file(names[2].join("part.json")).expect("removed");
    fs::create_dir(parts.join(".cases-000001-000008.part")).expect("left by a killed run");
    let computed = AtomicUsize::new(0);
    let (reached, sweep) = run(&|case: &Case, year: &Year| {
        computed.fetch_add(1, Ordering::SeqCst);
        season(case, year)
    });
    let two_parts = 2 * sweep.plan().cases().div_ceil(sweep.plan().parts());
    assert_eq!(computed.into_inner(), two_parts);
    assert_eq!(reached.done, 150);
    sweep.finish(None).expect("joined");
    assert_same(&files(temp.path()), &expected);
}

#[test]
fn parts_of_another_run_are_refused_and_kept() {
    let temp = tempfile::tempdir().expect("a folder");
    let (study, mut other) = (study(), study());
    other.seed += 1;
    let stop = AtomicBool::new(true);
    let sweep = Sweep::open(&study, temp.path(), false).expect("opened");
    sweep
        .run_with(&how(1, Shard::ALL, &stop), &|_| (), &season)
        .expect("stopped at once");
    let before = files(temp.path());
    let error = Sweep::open(&other, temp.path(), false).expect_err("another seed");
    assert!(matches!(error, OutputError::AnotherRun { .. }), "{error}");
    assert_eq!(files(temp.path()), before);
    Sweep::open(&other, temp.path(), true).expect("allowed");
    assert!(files(temp.path()).is_empty(), "those parts are gone");
}

#[test]
fn a_part_of_another_plan_is_computed_again() {
    let expected = undisturbed();
    let temp = tempfile::tempdir().expect("a folder");
    let (study, mut other) = (study(), study());
    other.seed += 1;
    let stop = AtomicBool::new(false);
    // Whole parts of equal size, as another scenario started in the same folder would leave them.
    let sweep = Sweep::open(&other, temp.path(), false).expect("opened");
    sweep
        .run_with(
            &how(1, Shard::ALL, &stop),
            &|_| (),
            &|_: &Case, _: &Year| Err("of the other run"),
        )
        .expect("ran");
    fs::remove_file(temp.path().join(parts::PARTS).join("plan.json")).expect("removed");
    let sweep = Sweep::open(&study, temp.path(), false).expect("opened");
    let kept = Mutex::new(None);
    let reached = sweep.run_with(
        &how(2, Shard::ALL, &stop),
        &|progress| {
            held(&kept).get_or_insert(progress.kept);
        },
        &season,
    );
    assert_eq!(
        (held(&kept).take(), reached.expect("ran").failed),
        (Some(0), 13)
    );
    sweep.finish(None).expect("joined");
    assert_same(&files(temp.path()), &expected);
}

#[test]
fn a_share_that_begins_leaves_what_another_has_begun() {
    let temp = tempfile::tempdir().expect("a folder");
    let study = study();
    let shares = [1, 2].map(|number| Shard::new(number, 2).expect("a share"));
    let stop = AtomicBool::new(false);
    // Both are opened before either has written anything, the second with leave to replace results.
    let [first, second] =
        [false, true].map(|replace| Sweep::open(&study, temp.path(), replace).expect("opened"));
    for (sweep, shard) in [(&first, shares[0]), (&second, shares[1])] {
        let reached = sweep
            .run_with(&how(1, shard, &stop), &|_| (), &season)
            .expect("ran");
        assert_eq!(reached.done, reached.total);
    }
    assert_eq!(first.finish(None).expect("joined").notes.len(), 150);
}

#[test]
fn parts_of_another_run_in_the_folder_of_the_whole_are_kept() {
    let temp = tempfile::tempdir().expect("a folder");
    let (study, mut other) = (study(), study());
    other.seed += 1;
    let [share, out] = ["share", "out"].map(|name| temp.path().join(name));
    let run = |study: &Study, path: &Path, stop: bool| {
        let sweep = Sweep::open(study, path, false).expect("opened");
        let stop = AtomicBool::new(stop);
        sweep
            .run_with(&how(1, Shard::ALL, &stop), &|_| (), &season)
            .expect("ran");
    };
    run(&study, &share, false);
    run(&other, &out, true);
    let before = files(&out);
    let joined = |replace| gather(std::slice::from_ref(&share), &out, replace, None);
    let error = joined(false).expect_err("another run was begun there");
    assert!(
        matches!(error, GatherError::Output(OutputError::AnotherRun { .. })),
        "{error}"
    );
    assert_eq!(files(&out), before);
    joined(true).expect("allowed");
    assert!(!out.join(parts::PARTS).exists());
}

#[test]
fn shares_of_different_runs_are_not_joined() {
    let temp = tempfile::tempdir().expect("a folder");
    let (study, mut other) = (study(), study());
    other.seed += 1;
    let stop = AtomicBool::new(true);
    let folders = ["a", "b"].map(|name| temp.path().join(name));
    for (study, path) in [&study, &other].into_iter().zip(&folders) {
        let sweep = Sweep::open(study, path, false).expect("opened");
        sweep
            .run_with(&how(1, Shard::ALL, &stop), &|_| (), &season)
            .expect("stopped at once");
    }
    let out = temp.path().join("out");
    let error = gather(&folders, &out, false, None).expect_err("two seeds");
    assert!(matches!(error, GatherError::Different { .. }), "{error}");
    let alone = || gather(std::slice::from_ref(&out), &out, false, None);
    let error = alone().expect_err("nothing there");
    assert!(matches!(error, GatherError::NoFolder { .. }), "{error}");
    fs::create_dir_all(&out).expect("made");
    let error = alone().expect_err("an empty folder");
    assert!(matches!(error, GatherError::NoParts { .. }), "{error}");
    fs::write(folders[0].join("parts/plan.json"), "{").expect("damaged");
    let error = gather(&folders, &out, false, None).expect_err("no plan");
    assert!(matches!(error, GatherError::NoPlan { .. }), "{error}");
}

#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_fills_up_ends_the_run_and_keeps_what_was_done() {
    let expected = undisturbed();
    let temp = tempfile::tempdir().expect("a folder");
    let study = study();
    let stop = AtomicBool::new(false);
    let sweep = Sweep::open(&study, temp.path(), false).expect("opened");
    // The temporary folder of a later part leads to where nothing can be made.
    let parts = temp.path().join(parts::PARTS);
    fs::create_dir(&parts).expect("a folder");
    let blocks: Vec<_> = sweep.plan().blocks(Shard::ALL).collect();
    let late = &blocks[3];
    let in_the_way = parts.join(format!("cases-{:06}-{:06}", late.start + 1, late.end));
    fs::write(&in_the_way, "no folder").expect("written");
    let error = sweep
        .run_with(&how(1, Shard::ALL, &stop), &|_| (), &season)
        .expect_err("a file in the way");
    assert!(matches!(error, OutputError::File { .. }), "{error:?}");
    fs::remove_file(&in_the_way).expect("removed");
    let sweep = Sweep::open(&study, temp.path(), false).expect("gone on with");
    let first = Mutex::new(None);
    let note = |progress: Progress| {
        first.lock().expect("whole").get_or_insert(progress.kept);
    };
    sweep
        .run_with(&how(1, Shard::ALL, &stop), &note, &season)
        .expect("ran");
    assert_eq!(first.into_inner().expect("whole"), Some(late.start));
    sweep.finish(None).expect("joined");
    assert_same(&files(temp.path()), &expected);
}
