//! Which design is best, by how much, and how sure that is.

use maud::{Markup, html};

use super::View;
use super::as_written::as_it_is;
use super::block;
use super::differences::differences;
use super::ranked::ranked;

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="designs" {
            h2 #designs { "Which design" }
            @if view.run.only_design().is_some() {
                p { "The run holds one design in one climate, so there is nothing to rank. Alternatives are listed \
                    as axes in the scenario." }
            } @else {
                @match view.run.table("ranking") {
                    None => (block::gap("ranking", "the ranking of the designs with its ranges", "A run with [compare] \
                        or several designs writes it.")),
                    Some(ranking) => {
                        (block::note(&range_words(view)))
                        @for (index, setting, name) in view.settings() {
                            h3 { "Ranking" (name) }
                            (ranked(view, ranking, setting, index))
                        }
                    }
                }
                @match view.run.table("compare") {
                    None => (block::gap("compare", "the difference of each design from the baseline", "A run with \
                        [compare] or several designs writes it.")),
                    Some(compare) => @for (index, setting, name) in view.settings() {
                        (differences(view, compare, setting, index, &name))
                    },
                }
                (worst_years(view))
            }
        }
    }
}

/// What a range means, in words.
fn range_words(view: View<'_>) -> String {
    let range = match view.run.manifest().draws {
        0 | 1 => {
            return "Each design was computed once, so there are no ranges here: the figures say nothing of how \
                    sure they are. [sampling] in the scenario draws the inputs that nobody has measured."
                .to_owned();
        }
        ..LEAST_DRAWS => "Fewer than 10 draws give medians and no ranges.",
        LEAST_DRAWS..FEW_DRAWS => {
            "A range holds 90 of 100 draws: 5 of 100 lie below it and 5 above; of so few draws its ends are hardly \
             more than the least and the greatest."
        }
        _ => "A range holds 90 of 100 draws: 5 of 100 lie below it and 5 above.",
    };
    format!(
        "{range} A draw is one guess at all inputs that nobody has measured, within their stated spreads; every \
         design gets the same draws. What was not drawn, and what the model leaves out, is in no range."
    )
}

/// Draws below which the tables hold no ranges.
const LEAST_DRAWS: u64 = 10;
/// Draws below which a range is hardly more than the least and the greatest.
const FEW_DRAWS: u64 = 40;

/// The worst of several weather years, where there are several.
fn worst_years(view: View<'_>) -> Markup {
    match view.run.table("worst_years") {
        None => html! {},
        Some(table) => html! {
            h3 { "The worst of several years" }
            (as_it_is(table, "Worst and median year of each design and limit"))
        },
    }
}
