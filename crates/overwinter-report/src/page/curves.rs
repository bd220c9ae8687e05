//! What happens in a failing night, as curves.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::chart::Label;
use crate::chart::lines::{Line, Lines};
use crate::designs::{Design, Setting};
use crate::facts;
use crate::figures::{self, Quantity};
use crate::table::Table;

/// The night that is drawn, the first of these that the table has.
const NIGHTS: [&str; 3] = [
    "design night, clear and calm",
    "worst of the season",
    "median of the season",
];
/// Minutes told of in the table.
const MINUTES: [f64; 10] = [
    5.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 720.0, 780.0, 1_440.0,
];
/// Ticks of the axis in hours.
const HOURS: [f64; 9] = [0.0, 3.0, 6.0, 9.0, 12.0, 15.0, 18.0, 21.0, 24.0];
/// The failure ends after this many minutes.
const ENDS_MIN: f64 = 720.0;

/// What is said where there are several settings.
pub(super) const FIRST_ONLY: &str = "Designs are compared in each climate or setting; failures are told \
     apart in the first, for the design in which most can fail. The tables hold the others.";

/// A curve with its points in minutes and degrees Celsius.
struct Curve {
    name: String,
    points: Vec<(f64, f64)>,
}

/// The section; the ladder follows in one of its own.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="failing" {
            h2 #failing { "When something fails" }
            @match view.run.table("night") {
                None => (block::gap("night", "the curves of a failing night", "The run tried no failure, or was \
                    too large to try them: [outages] in the scenario asks for it.")),
                Some(table) => {
                    (block::note("The failure begins at dusk and lasts 12 h; then everything works again. The \
                        temperature is that of a leaf at the top of the crop. Air and leaves fall within \
                        minutes; then the soil holds them some way above outdoors."))
                    @if view.run.settings().len() > 1 { (block::note(FIRST_ONLY)) }
                    @for (index, setting, name) in view.settings() {
                        (of_setting(view, table, setting, index, &name))
                    }
                }
            }
            (block::caution("An outage curve is an estimate and no promise: sensor, wind, sky and leaks change it, \
                and how gaps lose their air was never measured. Do not rely on it for the safety of people, and \
                never enter a snow-loaded house. A generator runs outdoors only, away from doors and vents, behind \
                a transfer switch."))
        }
    }
}

fn of_setting(
    view: View<'_>,
    table: &Table,
    setting: &Setting,
    index: usize,
    name: &str,
) -> Markup {
    let with_most = setting
        .designs
        .iter()
        .rev()
        .max_by_key(|design| failures(table, design).len());
    let Some(lead) = with_most.filter(|design| !failures(table, design).is_empty()) else {
        return html! {};
    };
    let failures = failures(table, lead);
    let main = ["power", "heaters"]
        .iter()
        .find(|f| failures.contains(f))
        .copied();
    let main = main.unwrap_or_else(|| failures.first().copied().unwrap_or_default());
    let Some(night) = night_of(table, lead, main) else {
        return html! {};
    };
    let mut by_failure: Vec<Curve> = failures
        .iter()
        .map(|failure| Curve {
            name: facts::failure_name(failure),
            points: points(table, lead, failure, night, "leaf_degc"),
        })
        .collect();
    by_failure.push(outdoors(table, lead, main, night));
    let mut by_design: Vec<Curve> = setting
        .designs
        .iter()
        .map(|design| Curve {
            name: design.label.clone(),
            points: points(table, design, main, night, "leaf_degc"),
        })
        .filter(|curve| !curve.points.is_empty())
        .collect();
    let several = by_design.len() > 1;
    by_design.push(outdoors(table, lead, main, night));
    let limits = limits(view, lead);
    html! {
        @if several {
            h3 { "By design: " (facts::failure_name(main)) (name) }
            (draw(view, &by_design, &limits, &format!("curves-designs-{index}"),
                &format!("Top leaf in the {night}, {}", facts::failure_name(main))))
        }
        @if index == 0 {
            h3 { "By failure: " (lead.label) (name) }
            (draw(view, &by_failure, &limits, &format!("curves-{index}"),
                &format!("Top leaf in the {night}, {}", lead.label)))
        }
    }
}

fn failures<'a>(table: &'a Table, design: &Design) -> Vec<&'a str> {
    let mut failures: Vec<&str> = Vec::new();
    for row in table.of_case(design.case_id) {
        let failure = table.text("failure", row);
        if !failures.contains(&failure) {
            failures.push(failure);
        }
    }
    failures.truncate(crate::chart::look::LOOKS - 1);
    failures
}

fn night_of(table: &Table, design: &Design, failure: &str) -> Option<&'static str> {
    let rows = table.of_case(design.case_id);
    NIGHTS.into_iter().find(|night| {
        rows.iter()
            .any(|&row| table.text("failure", row) == failure && table.text("night", row) == *night)
    })
}

fn points(
    table: &Table,
    design: &Design,
    failure: &str,
    night: &str,
    column: &str,
) -> Vec<(f64, f64)> {
    let rows = table.of_case(design.case_id);
    let point = |row: usize| {
        let is_it = table.text("failure", row) == failure && table.text("night", row) == night;
        let degc = table
            .number(column, row)
            .or_else(|| table.number("air_degc", row))?;
        is_it.then_some((table.number("after_min", row)?, degc))
    };
    rows.into_iter().filter_map(point).collect()
}

fn outdoors(table: &Table, design: &Design, failure: &str, night: &str) -> Curve {
    Curve {
        name: "outdoor air".to_owned(),
        points: points(table, design, failure, night, "outdoor_degc"),
    }
}

fn limits(view: View<'_>, design: &Design) -> Vec<(f64, String)> {
    let temperature = Quantity::Temperature;
    let crop = facts::outages(view.run, design.case_id)
        .first()
        .and_then(|outage| {
            let degc = outage.number(view.run, "limit_degc")?;
            let name = outage.text(view.run, "limit");
            Some((
                degc,
                format!("{name}, {}", temperature.short(degc, view.system)),
            ))
        });
    let limits = crop.into_iter();
    limits
        .map(|(degc, name)| (temperature.value(degc, view.system), name))
        .collect()
}

fn draw(
    view: View<'_>,
    curves: &[Curve],
    limits: &[(f64, String)],
    id: &str,
    title: &str,
) -> Markup {
    let temperature = Quantity::Temperature;
    let unit = temperature.unit(view.system);
    let title = format!("{title}, {unit}");
    let finding = finding(view, curves);
    let line = |curve: &Curve| Line {
        name: curve.name.clone(),
        points: thinned(&curve.points)
            .map(|(min, degc)| (min / 60.0, temperature.value(degc, view.system)))
            .collect(),
    };
    let drawing = Lines {
        label: Label {
            id: id.to_owned(),
            title: title.clone(),
            finding: finding.clone(),
        },
        across: HOURS.map(|hour| (hour, figures::figures(hour))).to_vec(),
        across_title: "hours after the failure began; it ends after 12".to_owned(),
        up_title: unit.to_owned(),
        from_zero: false,
        lines: curves.iter().map(line).collect(),
        limits: limits.to_vec(),
    };
    let mut head = vec!["After".to_owned()];
    let units = temperature.units(view.system);
    head.extend(
        curves
            .iter()
            .map(|curve| format!("{}, {units}", curve.name)),
    );
    let mut table = DataTable::new(title.clone(), head);
    for minutes in MINUTES {
        let cells = curves.iter().map(|curve| {
            let at = curve
                .points
                .iter()
                .find(|point| (point.0 - minutes).abs() < 0.5);
            temperature.cell(at.map(|point| point.1), view.system)
        });
        table.push(figures::duration(minutes), cells.collect());
    }
    block::chart(&title, &finding, &drawing.draw(), &table)
}

/// Every point of the first two hours, where curves bend, then each third.
fn thinned(points: &[(f64, f64)]) -> impl Iterator<Item = (f64, f64)> + '_ {
    let last = points.len().saturating_sub(1);
    let kept = move |(index, point): (usize, &(f64, f64))| {
        let is_early = point.0 <= 120.0 || (ENDS_MIN..=ENDS_MIN + 60.0).contains(&point.0);
        (is_early || index % 3 == 0 || index == last).then_some(*point)
    };
    points.iter().enumerate().filter_map(kept)
}

/// The lowest of each curve while the failure lasts.
fn finding(view: View<'_>, curves: &[Curve]) -> String {
    let low = |curve: &Curve| {
        let during = curve.points.iter().filter(|point| point.0 <= ENDS_MIN);
        let low = during.map(|point| point.1).reduce(f64::min)?;
        Some(format!(
            "{} {}",
            curve.name,
            Quantity::Temperature.pair(low, view.system)
        ))
    };
    let lows: Vec<String> = curves.iter().filter_map(low).collect();
    format!("Lowest while the failure lasts: {}.", lows.join("; "))
}
