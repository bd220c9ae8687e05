//! `run`: all cases of the scenario files, their tables, a summary.
//!
//! Everything that can be wrong with the input or the folders is found before the first case runs.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use overwinter_study::case::Study;
use overwinter_study::manifest::Manifest;
use overwinter_study::output::OutputFolder;
use overwinter_study::run::{StudyResult, run_study};
use overwinter_study::scenario::Checked;
use overwinter_study::summary::{output_by_default, summaries};
use overwinter_study::tables::Table;

use crate::arguments::RunArguments;
use crate::exit::{Exit, Stop};
use crate::messages;
use crate::program::Screen;
use crate::progress::Bar;
use crate::screen::summary::Summary;

/// A study and where its tables go.
struct Job {
    study: Study,
    folder: OutputFolder,
}

pub(crate) fn run(arguments: &RunArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let mut exit = Exit::Done;
    for job in prepare(arguments, screen)? {
        if execute(&job, arguments, screen)? > 0 {
            exit = Exit::SomeFailed;
        }
    }
    Ok(exit)
}

fn prepare(arguments: &RunArguments, screen: &mut Screen) -> Result<Vec<Job>, Stop> {
    let read = super::read_all(&arguments.files, screen)?;
    let folders = folders(arguments)?;
    let job = |(checked, folder): (Checked, OutputFolder)| {
        let mut study = checked.study;
        study.wants_hourly |= arguments.hourly;
        Job { study, folder }
    };
    Ok(read.into_iter().zip(folders).map(job).collect())
}

/// A folder for each file. If one is refused, those just made are taken away again.
fn folders(arguments: &RunArguments) -> Result<Vec<OutputFolder>, Stop> {
    let mut folders: Vec<OutputFolder> = Vec::new();
    for path in folder_paths(&arguments.files, &arguments.out)? {
        match OutputFolder::prepare(&path, arguments.force) {
            Ok(folder) => folders.push(folder),
            Err(error) => {
                folders.iter().rev().for_each(OutputFolder::discard_empty);
                return Err(messages::output(&error));
            }
        }
    }
    Ok(folders)
}

/// One scenario writes to `out` itself, each of several to a folder in it named after its file.
fn folder_paths(files: &[PathBuf], out: &Path) -> Result<Vec<PathBuf>, Stop> {
    if files.len() == 1 {
        return Ok(vec![out.to_owned()]);
    }
    let stems: Vec<_> = files.iter().map(|file| file.file_stem()).collect();
    for (index, stem) in stems.iter().enumerate() {
        if let Some(earlier) = stems[..index].iter().position(|other| other == stem) {
            return Err(messages::same_folder(&files[earlier], &files[index]));
        }
    }
    let path = |stem: Option<&std::ffi::OsStr>| out.join(stem.unwrap_or_default());
    Ok(stems.into_iter().map(path).collect())
}

/// Runs one study and returns the number of cases that failed.
fn execute(job: &Job, arguments: &RunArguments, screen: &mut Screen) -> Result<usize, Stop> {
    let result = run_cases(job, arguments, screen.err_is_terminal);
    let tables = result.tables();
    let manifest = Manifest::new(&job.study, &tables);
    if let Err(error) = job.folder.write(&tables, &manifest) {
        job.folder.discard_empty();
        return Err(messages::output(&error));
    }
    let failed = result.failed();
    if failed > 0 {
        let total = result.cases.len();
        let cases = job.folder.path().join("cases.csv");
        let cases = cases.display();
        writeln!(
            screen.err,
            "overwinter: {failed} of {total} cases failed; {cases} says why"
        )?;
    }
    if !arguments.quiet {
        let text = summary(&job.study, &result, arguments);
        write!(screen.out, "{text}\n{}", written(&job.folder, &tables))?;
    }
    Ok(failed)
}

fn run_cases(job: &Job, arguments: &RunArguments, err_is_terminal: bool) -> StudyResult {
    let bar = Bar::new(job.study.cases.len(), err_is_terminal && !arguments.quiet);
    let threads = arguments.threads.map(NonZeroUsize::get);
    let result = run_study(&job.study, threads, &|progress| bar.show(progress));
    bar.clear();
    result
}

fn summary(study: &Study, result: &StudyResult, arguments: &RunArguments) -> String {
    let features = study.cases.features();
    let summary = Summary {
        title: &study.title,
        axis_names: &study.axis_names,
        cases: &summaries(study, result),
        defaults: study.defaults.len(),
        output_by_default: output_by_default(study),
        wet_film_decides: features.wet_film_decides(),
        events: features.events,
        house_air_in_gaps: features.house_air_in_gaps,
        system: arguments.units.into(),
    };
    summary.text()
}

fn written(folder: &OutputFolder, tables: &[Table]) -> String {
    let names: Vec<&str> = tables.iter().map(|table| table.name).collect();
    format!(
        "Written to {}: {}\n(each as CSV and Parquet); manifest.json explains every column.\n",
        folder.path().display(),
        names.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_files_have_folders_of_their_own() {
        let files = ["a/one.toml", "b/two.toml"].map(PathBuf::from);
        let paths = folder_paths(&files, Path::new("out")).ok();
        assert_eq!(paths, Some(vec!["out/one".into(), "out/two".into()]));
        let one = folder_paths(&files[..1], Path::new("out")).ok();
        assert_eq!(one, Some(vec!["out".into()]));
    }

    #[test]
    fn files_of_the_same_name_are_refused() {
        let files = ["a/one.toml", "b/one.toml"].map(PathBuf::from);
        let Err(Stop::Told(text)) = folder_paths(&files, Path::new("out")) else {
            panic!("both would write to out/one");
        };
        assert!(text.contains("a/one.toml and b/one.toml"), "{text}");
    }
}
