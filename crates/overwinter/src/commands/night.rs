//! `night`: one failing night as a curve.

use std::fs;
use std::path::Path;

use overwinter_study::case::Case;
use overwinter_study::interruption::mean_interruption as mean_interruption_of;
use overwinter_study::outages::Sky;
use overwinter_study::outages::night::{
    Asked, FailingNight, NightAsked, NightError, failing_night,
};
use overwinter_study::tables::{Column, Table, Values, night};
use overwinter_weather::Year;

use crate::arguments::{NightArguments, NightChoice};
use crate::exit::{Exit, Stop};
use crate::messages;
use crate::program::Screen;
use crate::screen::night::NightScreen;

pub(crate) fn night(arguments: &NightArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let checked = super::read_all(std::slice::from_ref(&arguments.file), screen)?.remove(0);
    let study = checked.study;
    let case = &*super::case_of(&study, &arguments.file, arguments.case)?;
    if let Some(path) = &arguments.csv {
        refuse_existing(path, arguments.force)?;
    }
    let year = &study.climates[case.climate].year;
    let night = failing_night(case, year, &asked(arguments)).map_err(refused)?;
    if let Some(path) = &arguments.csv {
        write_points(path, &night)?;
    }
    let shown = NightScreen {
        title: &study.title,
        case: (study.cases.len() > 1).then(|| case_name(case)),
        night: &night,
        mean_interruption: mean_interruption(year, case),
        system: arguments.units.into(),
    };
    write!(screen.out, "{}", shown.text())?;
    Ok(Exit::Done)
}

/// Where a published mean stands among the lengths tried.
fn mean_interruption(year: &Year, case: &Case) -> Option<String> {
    let lengths_h = &case.outages.as_ref()?.lengths_h;
    mean_interruption_of(&year.place).map(|mean| mean.sentence(lengths_h))
}

fn case_name(case: &Case) -> String {
    format!("case {}: {}", case.id, case.axis_labels.join(", "))
}

fn asked(arguments: &NightArguments) -> Asked {
    Asked {
        failure: arguments.failure.clone(),
        night: match arguments.night {
            NightChoice::Worst => NightAsked::Worst,
            NightChoice::Median => NightAsked::Median,
            NightChoice::Clear => NightAsked::Design(Sky::Clear),
            NightChoice::Windy => NightAsked::Design(Sky::Windy),
            NightChoice::Evening(day) => NightAsked::Evening(day),
        },
        start: arguments.start,
        length_h: f64::from(arguments.hours),
    }
}

fn refused(error: NightError) -> Stop {
    let remedy = match &error {
        NightError::NoFailures => {
            "Ask for them in the scenario file, for example with the line [outages]; \
             `overwinter check` then shows what is tried."
        }
        NightError::UnknownFailure { .. } => "Give --failure one of these names.",
        NightError::NoNights => "Give --night clear, windy or a date such as 01-26.",
        NightError::BeyondYear { .. } => "Give --night a date such as 01-26.",
        NightError::Length { .. } => "Give other --hours.",
        NightError::Engine(_) => "Run another night, or check the house with `overwinter check`.",
    };
    Stop::Told(format!("{}\n  {remedy}", messages::chain(&error)))
}

fn refuse_existing(path: &Path, force: bool) -> Result<(), Stop> {
    if !force && path.exists() {
        let path = path.display();
        return Err(Stop::Told(format!(
            "{path} is there already\n  Give --csv another name, or add --force to replace it."
        )));
    }
    Ok(())
}

/// Writes the points under a temporary name in the same folder and renames them.
fn write_points(path: &Path, night: &FailingNight) -> Result<(), Stop> {
    let failed = |error: std::io::Error| {
        let path = path.display();
        Stop::Told(format!(
            "{path} cannot be written: {error}\n  Give --csv a file in a folder where you may write."
        ))
    };
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let part = path.with_file_name(format!(".{name}.part"));
    let text = separated(&night::table(std::iter::once(&night.curve)));
    let written = fs::write(&part, text).and_then(|()| fs::rename(&part, path));
    if written.is_err() {
        // What could not be renamed is of no use; nothing more can be done if it stays.
        let _ = fs::remove_file(&part);
    }
    written.map_err(failed)
}

/// A table as comma-separated values.
fn separated(table: &Table) -> String {
    let line = |cells: Vec<String>| cells.join(",") + "\n";
    let names = table.columns.iter().map(|column| column.name.clone());
    let mut text = line(names.collect());
    for row in 0..table.row_count() {
        text += &line(
            table
                .columns
                .iter()
                .map(|column| cell(column, row))
                .collect(),
        );
    }
    text
}

fn cell(column: &Column, row: usize) -> String {
    match &column.values {
        Values::Text(values) => values[row].as_deref().map_or(String::new(), quoted),
        Values::Whole(values) => values[row].map_or(String::new(), |value| value.to_string()),
        Values::Number(values) => values[row].map_or(String::new(), |value| value.to_string()),
    }
}

fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}
