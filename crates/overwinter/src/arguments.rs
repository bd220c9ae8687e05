//! What is typed on the command line.

use std::num::NonZeroUsize;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use overwinter_study::case::NightStart;
use overwinter_study::outages::night::StartAsked;
use overwinter_study::sweep::Shard;
use overwinter_study::tables::calendar::{DAYS, Moment};
use overwinter_units::{Range, System, range};

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
    /// Join the shares of a run, each made with run --shard, into the tables of one folder.
    Gather(GatherArguments),
    /// Show what a scenario file gives, what it leaves to defaults, and how long a run would take.
    Check(CheckArguments),
    /// Write a commented scenario file to start from.
    New(NewArguments),
    /// Show the statistics and the defects of weather files.
    Climate(ClimateArguments),
    /// Show the heat loss of covers at stated conditions, beside what handbooks and sellers say.
    Cover(CoverArguments),
    /// Show one night in which something fails: its course, what it costs, what to do.
    Night(NightArguments),
    /// Show the pressures of an inflated cover, the hoses that mend it, and how it empties.
    Inflate(InflateArguments),
    /// Write a finished run as one page to read, print and hand to a lender or a grant office.
    Report(ReportArguments),
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
    /// Write the page of the run as well, report.html in the folder. Up to 24 cases, every hour is kept
    /// for it, as with --hourly.
    #[arg(long, conflicts_with = "shard")]
    pub(crate) report: bool,
    /// Run one share of the cases only, such as 2/5 for the second of five; gather joins them.
    #[arg(long, value_name = "I/N", value_parser = shard)]
    pub(crate) shard: Option<Shard>,
    /// Replace the results of an earlier run in the folder. A run of the same scenario that did not end
    /// is gone on with in any case.
    #[arg(long)]
    pub(crate) force: bool,
    /// How far the run is: a bar, or a line of JSON about every second, both on the error stream. A bar
    /// if that is a terminal, else nothing.
    #[arg(long, value_enum)]
    pub(crate) progress: Option<ProgressChoice>,
    /// No progress bar and no summary.
    #[arg(long)]
    pub(crate) quiet: bool,
}

/// Arguments of `gather`.
#[derive(Debug, Args)]
pub(crate) struct GatherArguments {
    /// Folders that run --shard has written to.
    #[arg(required = true, value_name = "DIR")]
    pub(crate) folders: Vec<PathBuf>,
    /// Folder for the tables, created if absent.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: PathBuf,
    /// Units that stand first on the screen.
    #[arg(long, value_enum, default_value_t = UnitChoice::Us)]
    pub(crate) units: UnitChoice,
    /// Replace the results of an earlier run in the folder.
    #[arg(long)]
    pub(crate) force: bool,
    /// No summary.
    #[arg(long)]
    pub(crate) quiet: bool,
}

/// How progress is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ProgressChoice {
    /// A bar.
    Bar,
    /// Lines of JSON.
    Lines,
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

/// Arguments of `cover`.
#[derive(Debug, Args)]
pub(crate) struct CoverArguments {
    /// Scenario file whose covers are shown; without it and without --of, all of the catalogue.
    #[arg(value_name = "FILE", conflicts_with = "of")]
    pub(crate) file: Option<PathBuf>,
    /// A cover of the catalogue by name, such as "inflated pair"; may be given several times.
    #[arg(long, value_name = "NAME")]
    pub(crate) of: Vec<String>,
    /// Air, floor and crop in the house, such as "50 degF".
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = within(&range::HOUSE_AIR))]
    pub(crate) inside: Option<f64>,
    /// Outdoor air, such as "14 degF".
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = within(&range::OUTDOOR_AIR))]
    pub(crate) outside: Option<f64>,
    /// How far the sky is colder than the outdoor air, such as "18 degF": 0 overcast, 20 K clear.
    #[arg(long, value_name = "DIFFERENCE", allow_hyphen_values = true, value_parser = within(&range::SKY_BELOW_AIR))]
    pub(crate) sky_below: Option<f64>,
    /// Wind at the cover, such as "7 mph".
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true, value_parser = within(&range::WIND))]
    pub(crate) wind: Option<f64>,
    /// Tilt of the cover, "0 deg" flat, "90 deg" a wall.
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true, value_parser = within(&range::COVER_TILT))]
    pub(crate) tilt: Option<f64>,
    /// Share of the inner face that carries condensate, such as "100 %".
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true, value_parser = within(&range::SHARE))]
    pub(crate) wet: Option<f64>,
    /// A seller's R-value to compare with, such as "R 5" or "0.88 m2K/W".
    #[arg(long, value_name = "R-VALUE", allow_hyphen_values = true, value_parser = within(&range::CLAIMED_R))]
    pub(crate) claim: Option<f64>,
    /// Units that stand first.
    #[arg(long, value_enum, default_value_t = UnitChoice::Us)]
    pub(crate) units: UnitChoice,
}

/// Arguments of `night`.
#[derive(Debug, Args)]
pub(crate) struct NightArguments {
    /// Scenario file.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// What fails, by a name of the scenario such as "power"; the worst of power, heaters and blower if
    /// not given.
    #[arg(long, value_name = "NAME")]
    pub(crate) failure: Option<String>,
    /// Night: worst or median of the season, clear or windy for the design night of the climate under
    /// that sky, or a date such as 01-26 for the night that begins on it.
    #[arg(long, value_name = "NIGHT", default_value = "clear", value_parser = night_choice)]
    pub(crate) night: NightChoice,
    /// When it fails: dusk, midnight, before-dawn, or a full hour such as 22:00 (from 12:00 on the
    /// evening of the night, before it the morning after).
    #[arg(long, value_name = "START", default_value = "dusk", value_parser = start_choice)]
    pub(crate) start: StartAsked,
    /// For how many hours, 1 to 144.
    #[arg(long, value_name = "N", default_value_t = 8, value_parser = clap::value_parser!(u32).range(1..=144))]
    pub(crate) hours: u32,
    /// Case of the scenario.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) case: usize,
    /// Write the points of the curve, with twelve hours of recovery, to this file.
    #[arg(long, value_name = "PATH")]
    pub(crate) csv: Option<PathBuf>,
    /// Replace that file if it is there.
    #[arg(long, requires = "csv")]
    pub(crate) force: bool,
    /// Units that stand first.
    #[arg(long, value_enum, default_value_t = UnitChoice::Us)]
    pub(crate) units: UnitChoice,
}

/// Arguments of `inflate`.
#[derive(Debug, Args)]
pub(crate) struct InflateArguments {
    /// Scenario file.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// Number of the case, from 1, where the file has several.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) case: usize,
    /// Units that stand first.
    #[arg(long, value_enum, default_value_t = UnitChoice::Us)]
    pub(crate) units: UnitChoice,
}

/// Arguments of `report`.
#[derive(Debug, Args)]
pub(crate) struct ReportArguments {
    /// Folder that a run has written its tables to.
    #[arg(value_name = "DIR")]
    pub(crate) folder: PathBuf,
    /// File for the page; report.html in the folder if not given.
    #[arg(long, value_name = "PATH")]
    pub(crate) out: Option<PathBuf>,
    /// Replace that file if it is there.
    #[arg(long)]
    pub(crate) force: bool,
    /// Units that stand first.
    #[arg(long, value_enum, default_value_t = UnitChoice::Us)]
    pub(crate) units: UnitChoice,
}

/// A night to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NightChoice {
    /// The one of the season with the coldest leaf.
    Worst,
    /// The one in the middle.
    Median,
    /// The clear and calm design night.
    Clear,
    /// The cloudy and windy design night.
    Windy,
    /// The one that begins on the evening of a day of the year, from 0.
    Evening(usize),
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

fn shard(text: &str) -> Result<Shard, String> {
    let numbers = text.split_once('/');
    let numbers = numbers.and_then(|(number, of)| Some((number.parse().ok()?, of.parse().ok()?)));
    let wanted = || "expected a share such as 2/5, the second of five".to_owned();
    let (number, of) = numbers.ok_or_else(wanted)?;
    Shard::new(number, of).ok_or_else(wanted)
}

fn night_choice(text: &str) -> Result<NightChoice, String> {
    match text {
        "worst" => Ok(NightChoice::Worst),
        "median" => Ok(NightChoice::Median),
        "clear" => Ok(NightChoice::Clear),
        "windy" => Ok(NightChoice::Windy),
        date => day_of_year(date).map(NightChoice::Evening).ok_or_else(|| {
            "expected worst, median, clear, windy, or a date of a year without 29 February as \
             month-day, such as 01-26"
                .to_owned()
        }),
    }
}

fn day_of_year(text: &str) -> Option<usize> {
    let (month, day) = text.split_once('-')?;
    let two_digits = |text: &str| {
        let digits = text.bytes().all(|byte| byte.is_ascii_digit());
        text.parse().ok().filter(|_| digits && text.len() <= 2)
    };
    let (month, day): (usize, usize) = (two_digits(month)?, two_digits(day)?);
    let of_day = |wanted: &usize| {
        let moment = Moment::of_hour(*wanted * 24);
        (moment.month, moment.day) == (month, day)
    };
    (0..DAYS).find(of_day)
}

fn start_choice(text: &str) -> Result<StartAsked, String> {
    match text {
        "dusk" => Ok(StartAsked::At(NightStart::Dusk)),
        "midnight" => Ok(StartAsked::At(NightStart::Midnight)),
        "before-dawn" => Ok(StartAsked::At(NightStart::BeforeDawn)),
        clock => full_hour(clock).map(StartAsked::Hour).ok_or_else(|| {
            "expected dusk, midnight, before-dawn, or a full hour from 00:00 to 23:00".to_owned()
        }),
    }
}

fn full_hour(text: &str) -> Option<usize> {
    let hour = text.strip_suffix(":00").filter(|hour| hour.len() <= 2)?;
    let digits = hour.bytes().all(|byte| byte.is_ascii_digit());
    let hour: usize = hour.parse().ok().filter(|_| digits)?;
    (hour < 24).then_some(hour)
}

/// Reads a quantity and checks it against its range.
fn within(range: &'static Range) -> impl Fn(&str) -> Result<f64, String> + Clone + Send + Sync {
    |text| range.parse(text).map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_read() {
        assert_eq!(shard("2/5").ok(), Shard::new(2, 5));
        for wrong in ["0/5", "6/5", "2", "2/", "/5", "-1/5", "1/0", "a/b"] {
            assert!(shard(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn dates_and_hours_are_read() {
        assert_eq!(night_choice("01-01"), Ok(NightChoice::Evening(0)));
        assert_eq!(night_choice("3-1"), Ok(NightChoice::Evening(59)));
        assert_eq!(night_choice("12-31"), Ok(NightChoice::Evening(364)));
        for wrong in [
            "02-29", "13-01", "00-10", "1-32", "-1", "0126", "+1-+1", "coldest",
        ] {
            assert!(night_choice(wrong).is_err(), "{wrong}");
        }
        assert_eq!(start_choice("22:00"), Ok(StartAsked::Hour(22)));
        assert_eq!(start_choice("0:00"), Ok(StartAsked::Hour(0)));
        for wrong in ["24:00", "22:30", "22", ":00", "+2:00", "noon"] {
            assert!(start_choice(wrong).is_err(), "{wrong}");
        }
    }
}
