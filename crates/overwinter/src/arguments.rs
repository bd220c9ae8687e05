//! What is typed on the command line.

use std::num::NonZeroUsize;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use overwinter_units::System;

/// Most threads that can be asked for.
const MOST_THREADS: usize = 1024;

/// Steps a film-covered greenhouse hour by hour through a typical year and writes fuel-use and
/// frost-risk tables.
#[derive(Debug, Parser)]
#[command(name = "overwinter", version, max_term_width = 100)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Run all cases of scenario files and write their tables.
    Run(RunArguments),
    /// Show what a scenario file gives, what it leaves to defaults, and how long a run would take.
    Check(CheckArguments),
    /// Write a commented scenario file to start from.
    New(NewArguments),
    /// Show the statistics and the defects of weather files.
    Climate(ClimateArguments),
}

/// Arguments of `run`.
#[derive(Debug, Args)]
pub(crate) struct RunArguments {
    /// Scenario files.
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// Folder for the tables, created if absent; with several scenario files, each has a folder of
    /// its own in it.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: PathBuf,
    /// Units that stand first on the screen.
    #[arg(long, value_enum, default_value_t = UnitChoice::Us)]
    pub(crate) units: UnitChoice,
    /// Threads to use; one for each core if not given.
    #[arg(long, value_name = "N", value_parser = threads)]
    pub(crate) threads: Option<NonZeroUsize>,
    /// Write the table of every hour as well.
    #[arg(long)]
    pub(crate) hourly: bool,
    /// Replace the results of an earlier run in the folder.
    #[arg(long)]
    pub(crate) force: bool,
    /// No progress bar and no summary.
    #[arg(long)]
    pub(crate) quiet: bool,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub(crate) struct CheckArguments {
    /// Scenario file.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub(crate) struct NewArguments {
    /// Name of the scenario; `.toml` is added if it is missing.
    #[arg(value_name = "NAME")]
    pub(crate) name: PathBuf,
}

/// Arguments of `climate`.
#[derive(Debug, Args)]
pub(crate) struct ClimateArguments {
    /// Weather files.
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// Units that stand first.
    #[arg(long, value_enum, default_value_t = UnitChoice::Us)]
    pub(crate) units: UnitChoice,
}

/// The units that stand first; the others stand beside them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitChoice {
    /// Degrees Fahrenheit, MMBtu, feet.
    Us,
    /// Degrees Celsius, kWh, metres.
    Si,
}

impl From<UnitChoice> for System {
    fn from(choice: UnitChoice) -> Self {
        match choice {
            UnitChoice::Us => Self::Us,
            UnitChoice::Si => Self::Si,
        }
    }
}

fn threads(text: &str) -> Result<NonZeroUsize, String> {
    let wanted = || format!("expected a whole number from 1 to {MOST_THREADS}");
    let number: usize = text.parse().map_err(|_| wanted())?;
    let number = NonZeroUsize::new(number).filter(|number| number.get() <= MOST_THREADS);
    number.ok_or_else(wanted)
}
