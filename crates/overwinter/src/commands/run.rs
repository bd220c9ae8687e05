//! `run`: all cases of the scenario files, their tables, a summary.
//!
//! Everything that can be wrong with the input or the folders is found before the first case runs.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use overwinter_study::case::Study;
use overwinter_study::sweep::{How, Progress, Shard, Sweep};

use super::{gather, report};
use crate::arguments::RunArguments;
use crate::exit::{Exit, Stop};
use crate::interrupt::asked_to_stop;
use crate::messages;
use crate::program::Screen;
use crate::progress::Teller;
use crate::screen::figures::count;

/// Cases of which a page has every hour: as many as it shows, at 2 MB each.
const MOST_HOURLY: usize = 24;

pub(crate) fn run(arguments: &RunArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let read = super::read_all(&arguments.files, screen)?;
    let mut studies: Vec<Study> = read.into_iter().map(|checked| checked.study).collect();
    for study in &mut studies {
        let for_page = arguments.report && study.cases.len() <= MOST_HOURLY;
        study.wants_hourly |= arguments.hourly || for_page;
    }
    let mut exit = Exit::Done;
    for sweep in open(&studies, arguments)? {
        match execute(&sweep, arguments, screen)? {
            Exit::Done => {}
            Exit::Stopped => return Ok(Exit::Stopped),
            other => exit = other,
        }
    }
    Ok(exit)
}

/// A folder for each study. If one is refused, those just made are taken away again.
fn open<'a>(studies: &'a [Study], arguments: &RunArguments) -> Result<Vec<Sweep<'a>>, Stop> {
    let mut sweeps: Vec<Sweep> = Vec::new();
    let paths = folder_paths(&arguments.files, &arguments.out)?;
    for (study, path) in studies.iter().zip(paths) {
        match Sweep::open(study, &path, arguments.force) {
            Ok(sweep) => sweeps.push(sweep),
            Err(error) => {
                let made = sweeps.iter().rev();
                made.for_each(|sweep| sweep.folder().discard_empty());
                return Err(messages::output(&error));
            }
        }
    }
    Ok(sweeps)
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

/// Runs one study, or a share of it, and joins its parts if it was run to the end.
fn execute(sweep: &Sweep<'_>, arguments: &RunArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let threads = arguments.threads.map(NonZeroUsize::get);
    let shard = arguments.shard.unwrap_or(Shard::ALL);
    let teller = Teller::new(arguments.progress, screen.err_is_terminal, arguments.quiet);
    let how = How {
        threads,
        shard,
        stop: asked_to_stop(),
    };
    let ran = sweep.run(&how, &|progress| teller.tell(progress));
    teller.end();
    let reached = ran.map_err(|error| {
        sweep.folder().discard_empty();
        messages::output(&error)
    })?;
    if reached.done < reached.total {
        let text = stopped(sweep, reached);
        writeln!(screen.err, "overwinter: {text}")?;
        return Ok(Exit::Stopped);
    }
    if arguments.shard.is_some() {
        if !arguments.quiet {
            write!(screen.out, "{}", shared(sweep, shard, reached))?;
        }
        return Ok(if reached.failed > 0 {
            Exit::SomeFailed
        } else {
            Exit::Done
        });
    }
    let gathered = sweep
        .finish(threads)
        .map_err(|error| messages::gather(&error))?;
    let exit = gather::show(
        &gathered,
        sweep.folder(),
        arguments.units,
        arguments.quiet,
        screen,
    )?;
    if arguments.report {
        let written = report::beside(sweep.folder().path(), arguments.units)?;
        if !arguments.quiet {
            writeln!(screen.out, "{written}")?;
        }
    }
    Ok(exit)
}

fn stopped(sweep: &Sweep<'_>, reached: Progress) -> String {
    let Progress { done, total, .. } = reached;
    format!(
        "stopped; {} of {} cases are kept in {}\n  The same command goes on from there.",
        count(done),
        count(total),
        sweep.folder().path().display()
    )
}

fn shared(sweep: &Sweep<'_>, shard: Shard, reached: Progress) -> String {
    let folder = sweep.folder().path().display();
    let failed = match reached.failed {
        0 => String::new(),
        failed => format!(", {} of them failed", count(failed)),
    };
    format!(
        "Share {} of {}: {} of {} cases are kept in {folder}{failed}.\n\
         When all shares are there, overwinter gather joins them: name their folders and give --out.\n",
        shard.number(),
        shard.of(),
        count(reached.done),
        count(sweep.plan().cases()),
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
