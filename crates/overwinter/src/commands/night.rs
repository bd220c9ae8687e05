//! `night`: one failing night as a curve.

use overwinter_study::case::Case;
use overwinter_study::interruption::mean_interruption as mean_interruption_of;
use overwinter_study::outages::Sky;
use overwinter_study::outages::night::{Asked, NightAsked, NightError, failing_night};
use overwinter_study::tables::{Column, Table, Values, night};
use overwinter_weather::Year;

use crate::arguments::{NightArguments, NightChoice};
use crate::exit::{Exit, Stop};
use crate::messages;
use crate::program::Screen;
use crate::screen::night::NightScreen;
use crate::whole_file;

pub(crate) fn night(arguments: &NightArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let checked = super::read_all(std::slice::from_ref(&arguments.file), screen)?.remove(0);
    let study = checked.study;
    let case = &*super::case_of(&study, &arguments.file, arguments.case)?;
    if let Some(path) = &arguments.csv {
        whole_file::refuse_existing(path, "--csv", arguments.force)?;
    }
    let year = super::year_of(&study, case)?;
    let night = failing_night(case, &year, &asked(arguments)).map_err(refused)?;
    if let Some(path) = &arguments.csv {
        let points = night::table(std::iter::once(&night.curve));
        whole_file::write(path, "--csv", &separated(&points))?;
    }
    let shown = NightScreen {
        title: &study.title,
        case: (study.cases.len() > 1).then(|| case_name(case)),
        night: &night,
        mean_interruption: mean_interruption(&year, case),
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
