//! The inputs with their provenance: given, drawn, default, assumed.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::figures;
use crate::plain_text::listed;
use crate::table::Table;

/// Alternatives that are listed.
const MOST_LABELS: usize = 20;
/// Alternatives that the first page names.
const MOST_NAMED: usize = 6;

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    let manifest = view.run.manifest();
    let assumed = manifest.assumed() as u64;
    let defaults = manifest.defaults_used.len() as u64;
    html! {
        p { "Four kinds are told apart. " strong { "Given" } ": stated in the scenario file. " strong { "Drawn" }
            ": varied at random within a stated spread. " strong { "Default" } ": left out, and taken from a published \
            source or a definition. " strong { "Assumed" } ": left out, and taken from an estimate or a remembered \
            figure; these deserve your own number first." }
        @if manifest.inputs_given.is_empty() {
            p.gap { strong { "Not in this report: " } "the values that were given. They stand in the scenario file "
                code { (manifest.scenario.path) } ", whose digest is printed under A; attach it." }
        }
        p { (figures::counted(defaults, "input was", "inputs were")) " left out; " (figures::count(assumed))
            " of them are assumed." }
        (axes(view))
        (drawn(view))
        (given(view))
        (left_out(view))
    }
}

/// What the designs differ by, in a sentence.
pub(super) fn compared(view: View<'_>) -> Option<String> {
    let cases = view.run.table("cases")?;
    let names = cases
        .columns()
        .iter()
        .map(|column| column.entry.name.as_str());
    let said = |axis: &str| {
        let labels = alternatives(cases, axis);
        let named = match labels.len() {
            0..=MOST_NAMED => labels.join("; "),
            more => format!("{} alternatives", figures::count(more as u64)),
        };
        format!(
            "{} ({named})",
            axis.trim_start_matches("axis_").replace('_', " ")
        )
    };
    let said: Vec<String> = names
        .filter(|name| name.starts_with("axis_"))
        .map(said)
        .collect();
    (!said.is_empty()).then(|| format!("Compared here: {}.", listed(&said)))
}

/// The alternatives that were compared.
fn axes(view: View<'_>) -> Markup {
    let Some(cases) = view.run.table("cases") else {
        return html! {};
    };
    let names = cases
        .columns()
        .iter()
        .map(|column| column.entry.name.as_str());
    let head = ["Compared", "alternatives", "kind"]
        .map(str::to_owned)
        .to_vec();
    let mut table = DataTable::new("Alternatives that were compared", head).words();
    for axis in names.filter(|name| name.starts_with("axis_")) {
        let labels = alternatives(cases, axis);
        let more = match labels.len().saturating_sub(MOST_LABELS) {
            0 => String::new(),
            more => format!("; and {} more", figures::count(more as u64)),
        };
        let told = &labels[..labels.len().min(MOST_LABELS)];
        let name = axis.trim_start_matches("axis_").replace('_', " ");
        table.push(
            name,
            vec![format!("{}{more}", told.join("; ")), "given".to_owned()],
        );
    }
    table.draw()
}

/// The labels on an axis in the order of their first case.
fn alternatives<'a>(cases: &'a Table, axis: &str) -> Vec<&'a str> {
    let mut seen = BTreeSet::new();
    let labels = cases.rows().map(|row| cases.text(axis, row));
    labels.filter(|label| seen.insert(*label)).collect()
}

fn drawn(view: View<'_>) -> Markup {
    let head = [
        "Drawn input",
        "5 of 100 draws below",
        "middle",
        "5 of 100 draws above",
        "key",
        "kind",
    ];
    let mut table =
        DataTable::new("Inputs drawn at random", head.map(str::to_owned).to_vec()).words();
    for input in &view.run.manifest().sampled {
        let quantile = |index: usize| {
            input
                .quantiles
                .get(index)
                .cloned()
                .unwrap_or_else(|| figures::NOTHING.to_owned())
        };
        let cells = vec![
            quantile(0),
            quantile(1),
            quantile(2),
            input.keys.join(", "),
            "drawn".to_owned(),
        ];
        table.push(input.name.clone(), cells);
    }
    table.draw()
}

fn given(view: View<'_>) -> Markup {
    let head = ["Input", "value", "kind"].map(str::to_owned).to_vec();
    let mut table = DataTable::new("Inputs that were given", head).words();
    for input in &view.run.manifest().inputs_given {
        table.push(
            input.key.clone(),
            vec![input.value.clone(), "given".to_owned()],
        );
    }
    html! { div.inputs { (table.draw()) } }
}

fn left_out(view: View<'_>) -> Markup {
    let head = ["Input", "value", "kind", "where it comes from"]
        .map(str::to_owned)
        .to_vec();
    let mut table = DataTable::new("Inputs that were left out", head).words();
    for input in &view.run.manifest().defaults_used {
        let kind = if input.is_assumed() {
            "assumed"
        } else {
            "default"
        };
        table.push(
            input.key.clone(),
            vec![input.value.clone(), kind.to_owned(), input.source.clone()],
        );
    }
    html! {
        div.inputs { (table.draw()) }
        @if table.rows.is_empty() { (block::note("No input was left to a default.")) }
    }
}
