//! When an upgrade has paid for itself: what it has saved by the end of each year.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::measure::Spread;
use super::saved_so_far::course;
use crate::designs::{Design, Setting};
use crate::figures::{self, NOTHING};
use crate::plain_text::capital;
use crate::savings::Savings;

/// Measures of money in the order of their telling, with the words of the page.
const MEASURES: [(&str, &str); 10] = [
    ("extra first cost", "extra cost on the day of buying"),
    ("saved in year 1", "saved in the first year"),
    ("value of light", "value of the light in the first year"),
    (
        "net saving",
        "net saving over all years, as one sum on the day of buying",
    ),
    (
        "value left in net saving",
        "counted in it: what the parts are still worth at the end",
    ),
    (
        "saving-to-investment ratio",
        "saving for each unit of money invested",
    ),
    ("adjusted rate of return", "adjusted rate of return"),
    ("internal rate of return", "internal rate of return"),
    (BREAK_EVEN, "price at which it neither gains nor loses"),
    (
        "loan coverage",
        "saved for each unit of loan payment, hardest year",
    ),
];
const BREAK_EVEN: &str = "break-even price";
/// Paybacks, with the words of the page.
const PAYBACKS: [(&str, &str); 3] = [
    ("simple payback", "simple payback"),
    ("discounted payback", "payback with interest (discounted)"),
    (
        "payback of eligible costs",
        "payback of eligible costs, as a grant counts it",
    ),
];

/// The chart of every setting, the measures, and what wears out too soon.
pub(super) fn part(view: View<'_>, savings: Savings<'_>) -> Markup {
    html! {
        @for (index, setting, name) in view.settings() {
            @let designs = savings.compared(setting);
            @if designs.is_empty() {
                h3 { "When it has paid for itself" (name) }
                (block::gap("savings", "the payback of these designs", "The table has no row of them: a design \
                    whose costs are not known, or the one that all are compared with."))
            } @else {
                h3 { "When it has paid for itself" (name) }
                (course(view, savings, &designs, index))
                (measures(view, savings, &designs, setting).draw())
                @for words in worn_out(view, savings, &designs) { (block::caution(&words)) }
                @for words in lacking_heat(savings, &designs) { (block::caution(&words)) }
            }
        }
        (block::note("Paybacks count what is saved year by year, less what is bought again; the discounted one counts interest too. \
            \"Does not hold\" means that the balance comes back to zero and falls below it again, as when a film is \
            bought a second time. What the parts are still worth at the end counts in the net saving and not in paybacks."))
    }
}

/// The design of a setting with the largest net saving.
pub(super) fn best_of<'a>(savings: Savings<'a>, setting: &'a Setting) -> Option<&'a Design> {
    let of = |design: &Design| savings.median(design, "net saving");
    let designs = savings.compared(setting).into_iter();
    let with_saving = designs.filter_map(|design| Some((design, of(design)?)));
    let best = with_saving.max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(best.0)
}

/// The best design of a setting in a sentence for the first page.
pub(super) fn best(view: View<'_>, setting: &Setting) -> Option<String> {
    let savings = Savings::of(view.run)?;
    let best = best_of(savings, setting)?;
    let told = |measure: &str| {
        let row = savings.row(best, measure)?;
        Some((row, value(view, savings, row)?))
    };
    let (_, extra) = told("extra first cost")?;
    let (net_row, net) = told("net saving")?;
    let against = savings.against(best);
    let gain = savings.table.number("median", net_row)?;
    let payback = savings.row(best, "simple payback").map_or_else(
        || NOTHING.to_owned(),
        |row| payback_words(view, savings, row),
    );
    let verdict = if gain > 0.0 {
        format!("{} against {against}", best.label)
    } else {
        format!("none gains against {against}; nearest is {}", best.label)
    };
    let worn: String = worn_out(view, savings, &[best])
        .into_iter()
        .chain(lacking_heat(savings, &[best]))
        .map(|words| format!(" {words}"))
        .collect();
    Some(format!(
        "{verdict}: extra cost {extra}; simple payback {payback}; net saving over all years {net}.{worn}"
    ))
}

/// Measures of money, a column for each design.
fn measures(
    view: View<'_>,
    savings: Savings<'_>,
    designs: &[&Design],
    setting: &Setting,
) -> DataTable {
    let mut head = vec!["Measure".to_owned()];
    head.extend(designs.iter().map(|design| design.label.clone()));
    let against = designs.first().map_or("", |design| savings.against(design));
    let caption = match view.run.settings() {
        [_] => format!("Saving and payback against {against}"),
        _ => format!("Saving and payback against {against}, {}", setting.label),
    };
    let mut table = DataTable::new(caption, head).words();
    for (measure, name) in MEASURES {
        for carrier in carriers(savings, designs, measure) {
            let cell = |design: &&Design| {
                let rows = savings.rows(design, measure);
                let row = rows
                    .into_iter()
                    .find(|&row| savings.table.text("carrier", row) == carrier)?;
                let words = value(view, savings, row).or_else(|| noted(savings, row))?;
                let side =
                    match measure == BREAK_EVEN && savings.table.number("median", row).is_some() {
                        true => {
                            noted(savings, row).map_or_else(String::new, |note| format!("; {note}"))
                        }
                        false => String::new(),
                    };
                Some(words + &side + &where_it_is(view, savings, row))
            };
            let cells = designs
                .iter()
                .map(|design| cell(design).unwrap_or_else(|| NOTHING.to_owned()));
            let name = if carrier.is_empty() {
                name.to_owned()
            } else {
                format!("{name}: {carrier}")
            };
            table.push(name, cells.collect());
        }
    }
    for (measure, name) in PAYBACKS {
        let row_of = |design: &&Design| savings.row(design, measure);
        if designs.iter().any(|design| row_of(design).is_some()) {
            let cell = |design: &&Design| {
                row_of(design).map_or_else(
                    || NOTHING.to_owned(),
                    |row| payback_words(view, savings, row),
                )
            };
            table.push(name, designs.iter().map(cell).collect());
        }
    }
    table
}

/// Carriers of a measure, in the order of the table.
fn carriers<'a>(savings: Savings<'a>, designs: &[&Design], measure: &str) -> Vec<&'a str> {
    let mut carriers: Vec<&str> = Vec::new();
    for row in designs
        .iter()
        .flat_map(|design| savings.rows(design, measure))
    {
        let carrier = savings.table.text("carrier", row);
        if !carriers.contains(&carrier) {
            carriers.push(carrier);
        }
    }
    carriers
}

/// Median and range of a row with its unit.
fn value(view: View<'_>, savings: Savings<'_>, row: usize) -> Option<String> {
    Spread::new(savings.table, "", row, view.system).with_unit(row)
}

/// In how many draws there is such a value, if not in all.
fn where_it_is(view: View<'_>, savings: Savings<'_>, row: usize) -> String {
    let share = savings.table.number("reached_share", row);
    match share.filter(|share| view.run.is_sampled() && *share > 0.0 && *share < 1.0) {
        Some(share) => format!("; there is one in {}", of_draws(view, share)),
        None => String::new(),
    }
}

/// A share of the draws, counted.
fn of_draws(view: View<'_>, share: f64) -> String {
    let draws = view.run.manifest().draws;
    let some = (share * draws as f64).round();
    format!(
        "{} of {} draws",
        figures::figures(some),
        figures::count(draws)
    )
}

/// Why there is no value.
fn noted(savings: Savings<'_>, row: usize) -> Option<String> {
    let note = savings.table.text("note", row);
    (!note.is_empty()).then(|| note.to_owned())
}

/// A payback in words, and whether it comes at all and holds.
fn payback_words(view: View<'_>, savings: Savings<'_>, row: usize) -> String {
    let share = |column: &str| savings.table.number(column, row);
    // Without extra cost there are no years to tell, and the note says so.
    let is_at_once = share("median").is_some_and(|years| years <= 0.0);
    let years = value(view, savings, row).filter(|_| !is_at_once);
    let mut words = years
        .or_else(|| noted(savings, row))
        .unwrap_or_else(|| "not within the years counted".to_owned());
    let reached = share("reached_share");
    if view.run.is_sampled() && reached.is_some_and(|share| share < 1.0) {
        words += &format!(
            ", coming back in {}",
            of_draws(view, reached.unwrap_or(0.0))
        );
    }
    let lost = |holds: &f64| *holds < reached.unwrap_or(1.0);
    match share("holds_share").filter(lost) {
        Some(holds) if view.run.is_sampled() => {
            words += &format!(", which holds to the end in {}", of_draws(view, holds));
        }
        Some(_) => words += ", which does not hold to the end",
        None => {}
    }
    words
}

/// Designs whose savings are in part heat that the house did not get.
fn lacking_heat(savings: Savings<'_>, designs: &[&Design]) -> Vec<String> {
    let said = |design: &&Design| {
        let note = noted(savings, savings.row(design, "heat lacking")?)?;
        Some(format!("{}: {note}.", capital(&design.label)))
    };
    designs.iter().filter_map(said).collect()
}

/// Parts that wear out before the upgrade has paid for itself.
fn worn_out(view: View<'_>, savings: Savings<'_>, designs: &[&Design]) -> Vec<String> {
    let said = |(design, row): (&&Design, usize)| {
        let life = value(view, savings, row)?;
        let part = savings.table.text("note", row);
        let share = savings
            .table
            .number("share_of_draws", row)
            .filter(|_| view.run.is_sampled());
        let often = share.map_or_else(String::new, |share| {
            format!(" in {}", of_draws(view, share))
        });
        Some(format!(
            "{}: the part \"{part}\" lasts {life} and wears out before the upgrade has paid for itself{often}.",
            capital(&design.label)
        ))
    };
    let rows = designs.iter().flat_map(|design| {
        let rows = savings.rows(design, "life shorter than payback");
        rows.into_iter().map(move |row| (design, row))
    });
    rows.filter_map(said).collect()
}
