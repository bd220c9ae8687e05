//! `gather`: the shares of a run joined into one folder; and what is shown when a run has ended.

use overwinter_study::output::OutputFolder;
use overwinter_study::sweep::{self, CaseNote, Gathered};

use crate::arguments::{GatherArguments, UnitChoice};
use crate::exit::{Exit, Stop};
use crate::messages;
use crate::program::Screen;
use crate::screen::summary::Summary;

pub(crate) fn gather(arguments: &GatherArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let (gathered, folder) =
        sweep::gather(&arguments.folders, &arguments.out, arguments.force, None)
            .map_err(|error| messages::gather(&error))?;
    show(&gathered, &folder, arguments.units, arguments.quiet, screen)
}

/// Shows what a run gave and says how it ended.
pub(crate) fn show(
    gathered: &Gathered,
    folder: &OutputFolder,
    units: UnitChoice,
    quiet: bool,
    screen: &mut Screen,
) -> Result<Exit, Stop> {
    let failed = gathered.failed();
    if failed > 0 {
        let total = gathered.notes.len();
        let cases = folder.path().join("cases.csv");
        let cases = cases.display();
        writeln!(
            screen.err,
            "overwinter: {failed} of {total} cases failed; {cases} says why"
        )?;
    }
    if !quiet {
        let text = summary(gathered, units);
        write!(screen.out, "{text}\n{}", written(gathered, folder))?;
    }
    Ok(if failed > 0 {
        Exit::SomeFailed
    } else {
        Exit::Done
    })
}

fn summary(gathered: &Gathered, units: UnitChoice) -> String {
    let plan = &gathered.plan;
    let remarks = &plan.remarks;
    let told = |note: &CaseNote| note.summary.clone();
    let cases: Vec<_> = gathered.notes.iter().map_while(told).collect();
    let untold = gathered.notes.iter().enumerate().skip(cases.len());
    let failures = untold.filter_map(|(index, note)| Some((index + 1, note.failed.clone()?)));
    let summary = Summary {
        title: plan.title(),
        axis_names: plan.axis_names(),
        cases: &cases,
        untold: gathered.notes.len() - cases.len(),
        untold_failures: &failures.collect::<Vec<_>>(),
        digest: gathered.digest.as_ref(),
        worst_years: &gathered.worst_years,
        money: gathered.money.as_ref(),
        defaults: plan.defaults(),
        output_by_default: remarks.output_by_default,
        wet_film_decides: remarks.wet_film_decides,
        events: remarks.events.clone(),
        house_air_in_gaps: remarks.house_air_in_gaps,
        system: units.into(),
    };
    summary.text()
}

fn written(gathered: &Gathered, folder: &OutputFolder) -> String {
    let names: Vec<&str> = gathered
        .tables
        .iter()
        .map(|table| table.name.as_str())
        .collect();
    format!(
        "Written to {}: {}\n(each as CSV and Parquet); manifest.json explains every column.\n",
        folder.path().display(),
        names.join(", ")
    )
}
