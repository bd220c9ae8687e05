//! Checks that the run passed, and what was found in its inputs.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::figures;
use crate::table::Table;

/// Residual above which a case fails, of runs whose manifest does not tell it.
const MOST_RESIDUAL: f64 = 1e-6;

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        @match view.run.table("cases") {
            None => (block::gap("cases", "the checks of each case", "Every finished run writes this table.")),
            Some(cases) => (of_cases(view, cases)),
        }
        (defects(view))
    }
}

fn of_cases(view: View<'_>, cases: &Table) -> Markup {
    let manifest = view.run.manifest();
    let allowed = manifest.allowed_residual_share.unwrap_or(MOST_RESIDUAL);
    let all = cases.rows().len() as u64;
    let done = cases.select(|row| cases.text("status", row) == "done");
    let worst = |column: &str| {
        let values = done.iter().filter_map(|&row| cases.number(column, row));
        values.map(f64::abs).reduce(f64::max)
    };
    let head = ["Check", "found", "allowed", "passed"]
        .map(str::to_owned)
        .to_vec();
    let mut table = DataTable::new("Checks of the run", head).words();
    let ran = done.len() as u64;
    table.push(
        "cases that could be computed",
        vec![figures::count(ran), figures::count(all), passed(ran == all)],
    );
    let balances = [
        (
            "energy that does not add up, worst step, share of the energy moved",
            "worst_energy_residual_share",
        ),
        (
            "water that does not add up, worst step, share of the water moved",
            "worst_water_residual_share",
        ),
    ];
    for (name, column) in balances {
        let residual = worst(column);
        let judged = residual.map(|found| passed(found <= allowed));
        let cells = vec![
            residual.map_or_else(|| figures::NOTHING.to_owned(), share),
            share(allowed),
            judged.unwrap_or_else(|| "not known".to_owned()),
        ];
        table.push(name, cells);
    }
    if let Some(mismatch_k) = worst("start_mismatch_k") {
        let cells = vec![
            format!("{} K", figures::rough(mismatch_k)),
            "for information".to_owned(),
            String::new(),
        ];
        table.push(
            "soil at the end of the year beside its start, largest difference",
            cells,
        );
    }
    table.draw()
}

fn passed(is_passed: bool) -> String {
    if is_passed { "yes" } else { "no" }.to_owned()
}

/// A small share in words: `2 in a million million`.
fn share(share: f64) -> String {
    match share {
        share if share <= 0.0 => "0".to_owned(),
        share if share < 1e-9 => format!("{} in a million million", figures::rough(share * 1e12)),
        share if share < 1e-3 => format!("{} in a million", figures::rough(share * 1e6)),
        share => figures::rough(share),
    }
}

/// What was found in the weather files and what was done.
fn defects(view: View<'_>) -> Markup {
    let head = ["Weather file and finding", "values", "what was done"]
        .map(str::to_owned)
        .to_vec();
    let mut table = DataTable::new("What was found in the weather files", head).words();
    for file in &view.run.manifest().weather {
        for defect in &file.defects {
            let name = format!("{}: {}", file.place, defect.defect);
            table.push(
                name,
                vec![figures::count(defect.count), defect.action.clone()],
            );
        }
    }
    if table.rows.is_empty() {
        return html! { p { "Nothing was found amiss in the weather files." } };
    }
    table.draw()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_shares_are_in_words() {
        assert_eq!(share(2.4e-12), "2.4 in a million million");
        assert_eq!(share(1e-6), "1 in a million");
        assert_eq!(share(0.0), "0");
        assert_eq!(share(0.02), "0.02");
    }
}
