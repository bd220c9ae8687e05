//! What a design saves a year, carrier by carrier, and the bands that a grant asks for.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::measure::{Spread, printed_unit};
use crate::designs::Design;
use crate::figures::{self, NOTHING, other};
use crate::savings::Savings;

/// The measure of all that warms the air, as carbon dioxide.
const GASES: &str = "greenhouse gases";

/// Savings of a year and the share that is saved.
pub(super) fn part(view: View<'_>, savings: Savings<'_>) -> Markup {
    html! {
        h3 { "What each design saves in a year" }
        (by_carrier(view, savings).draw())
        @for words in factor_notes(view, savings) { (block::note(&words)) }
        (site_energy(view, savings).draw())
        (bands(view, savings, "draws by energy saved", "Draws by the share of site energy saved").draw())
        (bands(view, savings, "draws by payback", "Draws by the payback of eligible costs").draw())
    }
}

/// Every design that is compared, with its name.
pub(super) fn compared<'a>(view: View<'a>, savings: Savings<'a>) -> Vec<(&'a Design, String)> {
    let has_rows = |(design, _): &(&Design, String)| !savings.against(design).is_empty();
    view.rows().filter(has_rows).collect()
}

/// The carriers of a design, that of all of them last.
pub(super) fn carriers<'a>(savings: Savings<'a>, design: &Design) -> Vec<&'a str> {
    let rows = savings.rows(design, "energy");
    rows.into_iter()
        .map(|row| savings.table.text("carrier", row))
        .collect()
}

/// The row of a design for a measure and a carrier.
pub(super) fn row_of(
    savings: Savings<'_>,
    design: &Design,
    measure: &str,
    carrier: &str,
) -> Option<usize> {
    let rows = savings.rows(design, measure);
    rows.into_iter()
        .find(|&row| savings.table.text("carrier", row) == carrier)
}

fn by_carrier(view: View<'_>, savings: Savings<'_>) -> DataTable {
    let mut head = vec![
        "Design and carrier".to_owned(),
        "as it is bought".to_owned(),
    ];
    let compared = compared(view, savings);
    let unit_of = |measure: &str, system| {
        let rows = compared
            .iter()
            .flat_map(|(design, _)| savings.rows(design, measure));
        let unit = rows
            .map(|row| Spread::new(savings.table, "", row, system).unit)
            .next();
        printed_unit(unit.unwrap_or_default()).to_owned()
    };
    let systems = [view.system, other(view.system)];
    head.extend(systems.map(|system| unit_of("energy", system)));
    head.push(unit_of("energy cost", view.system));
    head.push("greenhouse gases, kg CO₂e".to_owned());
    let mut table = DataTable::new("Saved in a year at the site, by carrier", head);
    for (design, name) in &compared {
        for carrier in carriers(savings, design) {
            let cell = |measure: &str, system, has_unit: bool| {
                let Some(row) = row_of(savings, design, measure, carrier) else {
                    return NOTHING.to_owned();
                };
                let spread = Spread::new(savings.table, "", row, system);
                let printed = spread.with_unit(row).map(|with_unit| {
                    if has_unit {
                        with_unit
                    } else {
                        spread.both(row)
                    }
                });
                printed.unwrap_or_else(|| NOTHING.to_owned())
            };
            let cells = vec![
                cell("amount", view.system, true),
                cell("energy", systems[0], false),
                cell("energy", systems[1], false),
                cell("energy cost", view.system, false),
                cell(GASES, view.system, false),
            ];
            table.push(format!("{name}: {carrier}"), cells);
        }
    }
    table
}

/// Where the factors of greenhouse gases come from, each once.
fn factor_notes(view: View<'_>, savings: Savings<'_>) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    for (design, _) in compared(view, savings) {
        // That of all carriers holds the others, where something is known of each.
        let of_all = row_of(savings, design, GASES, "all carriers");
        let known = of_all.filter(|&row| savings.table.number("median", row).is_some());
        let rows = known.map_or_else(|| savings.rows(design, GASES), |row| vec![row]);
        for row in rows {
            let note = savings.table.text("note", row);
            let words = format!("{}: {note}.", crate::plain_text::capital(GASES));
            if !note.is_empty() && !notes.contains(&words) {
                notes.push(words);
            }
        }
    }
    if notes.is_empty() {
        return notes;
    }
    notes.push(
        "Greenhouse gases are carbon dioxide, methane and nitrous oxide; the carbon dioxide of burned wood is told in \
         the annex. Below zero, more is used than before, as by the blower of an inflated cover."
            .to_owned(),
    );
    notes
}

/// The saved share of the energy at the site with its band.
fn site_energy(view: View<'_>, savings: Savings<'_>) -> DataTable {
    let head = ["Design", "saved of the site energy, %", "band", "points"];
    let mut table = DataTable::new(
        "Share of the site energy that is saved",
        head.map(str::to_owned).to_vec(),
    );
    for (design, name) in compared(view, savings) {
        let Some(row) = savings.row(design, "site energy saved") else {
            continue;
        };
        let cells = vec![
            Spread::new(savings.table, "", row, view.system).both(row),
            text(savings.table.text("band", row)),
            figures::cell(savings.table.number("points", row)),
        ];
        table.push(name, cells);
    }
    table
}

/// In how many draws a design is in which band; nothing for a run of one draw.
fn bands(view: View<'_>, savings: Savings<'_>, measure: &str, caption: &str) -> DataTable {
    let head = ["Design and band", "points", "of 100 draws"];
    let mut table = DataTable::new(caption, head.map(str::to_owned).to_vec());
    if !view.run.is_sampled() {
        return table;
    }
    for (design, name) in compared(view, savings) {
        for row in savings.rows(design, measure) {
            let share = savings.table.number("share_of_draws", row);
            let cells = vec![
                figures::cell(savings.table.number("points", row)),
                figures::cell(share.map(|share| share * 100.0)),
            ];
            table.push(
                format!("{name}: {}", savings.table.text("band", row)),
                cells,
            );
        }
    }
    table
}

/// A text of a cell.
pub(super) fn text(text: &str) -> String {
    if text.is_empty() { NOTHING } else { text }.to_owned()
}
