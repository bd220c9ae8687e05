//! The page: first what a grower needs, then charts, then the annex for whoever lends or grants.

mod annex;
mod annex_money;
mod as_written;
mod block;
mod checks;
mod coldest;
mod coldest_course;
mod costs;
mod curves;
mod differences;
mod failing_night;
mod fuel;
mod glossary;
mod grower;
mod heat_paths;
mod heater;
mod inputs;
mod ladder;
mod load_duration;
mod measure;
mod money;
mod months;
mod overview;
mod payback;
mod ranked;
mod saved;
mod saved_so_far;
mod sensitivity;
mod which_design;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use overwinter_units::System;

use crate::designs::{Design, Setting};
use crate::folder::Run;
use crate::plain_text::plain;
use crate::style;

/// How a page is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Options {
    /// The units that stand first; the others follow in brackets.
    pub system: System,
    /// The date of the report, as it is to be printed.
    pub date: String,
}

/// A run in the units of a reader.
#[derive(Clone, Copy, Debug)]
struct View<'a> {
    run: &'a Run,
    system: System,
}

/// One page of HTML that holds the whole report of a run.
///
/// The page loads nothing: style and drawings are part of it, it has no script, and it prints on
/// Letter and A4. What the run has no table for is said in the place where it would stand. The same
/// run and options give the same text.
pub fn page(run: &Run, options: &Options) -> String {
    let view = View {
        run,
        system: options.system,
    };
    let date = plain(&options.date);
    let title = if run.title().is_empty() {
        "A run without a title"
    } else {
        run.title()
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Report: " (title) }
                style { (PreEscaped(style::sheet())) }
            }
            body {
                header {
                    h1 { (title) }
                    p.meta { (meta(view, &date)) }
                }
                main {
                    (grower::section(view))
                    (contents())
                    (charts(view))
                    (annex::section(view, title, &date))
                }
                footer { (footer(view)) }
            }
        }
    };
    page.into_string()
}

fn meta(view: View<'_>, date: &str) -> String {
    let manifest = view.run.manifest();
    let units = match view.system {
        System::Us => "US units, with SI units in brackets",
        System::Si => "SI units, with US units in brackets",
    };
    let places: Vec<String> = view
        .run
        .settings()
        .iter()
        .map(|s| s.place.clone())
        .collect();
    let place = places.join("; ");
    let place = if place.is_empty() {
        String::new()
    } else {
        format!("{place} · ")
    };
    format!(
        "{place}report of {date} · {} {} · {units}",
        manifest.program, manifest.version
    )
}

fn contents() -> Markup {
    let links = [
        ("fuel", "Fuel"),
        ("heater", "Heater size"),
        ("heat-paths", "Where the heat goes"),
        ("coldest", "The coldest night"),
        ("failing", "When something fails"),
        ("designs", "Which design"),
        ("payback", "Payback"),
        ("words", "Words"),
        ("annex", "Annex for a grant or a loan"),
    ];
    html! {
        nav aria-labelledby="contents" {
            h2 #contents { "On this page" }
            ul { @for (id, words) in links { li { a href={ "#" (id) } { (words) } } } }
        }
    }
}

fn charts(view: View<'_>) -> Markup {
    html! {
        div #charts {
            (fuel::section(view))
            (heater::section(view))
            (heat_paths::section(view))
            (coldest::section(view))
            (curves::section(view))
            (ladder::section(view))
            (which_design::section(view))
            (money::section(view))
            (glossary::section())
        }
    }
}

fn footer(view: View<'_>) -> Markup {
    let manifest = view.run.manifest();
    html! {
        p.note {
            "Prepared with " (manifest.program) " " (manifest.version) " from " (manifest.scenario.path)
            ". A planning estimate for comparing options. Not a design, permit, code or safety approval, and
            not an energy audit. Local codes, the makers' instructions and licensed trades govern."
        }
    }
}

impl<'a> View<'a> {
    /// All settings with the end of a heading that names each, empty if there is only one.
    fn settings(self) -> impl Iterator<Item = (usize, &'a Setting, String)> {
        let settings = self.run.settings();
        let is_named = settings.len() > 1;
        settings.iter().enumerate().map(move |(index, setting)| {
            let name = if is_named {
                format!(", {}", setting.label)
            } else {
                String::new()
            };
            (index, setting, name)
        })
    }

    /// Every design in every setting, with both names.
    fn rows(self) -> impl Iterator<Item = (&'a Design, String)> {
        let is_named = self.run.settings().len() > 1;
        self.run.settings().iter().flat_map(move |setting| {
            setting.designs.iter().map(move |design| {
                let name = if is_named {
                    format!("{}, {}", design.label, setting.label)
                } else {
                    design.label.clone()
                };
                (design, name)
            })
        })
    }

    /// What is said of designs that are not shown, and of draws.
    fn left_out(self) -> Option<String> {
        let designs: usize = self
            .run
            .settings()
            .iter()
            .map(|setting| setting.left_out)
            .sum();
        let settings = self.run.settings_left_out();
        let mut words = Vec::new();
        if designs > 0 {
            words.push(format!(
                "The best designs and the baseline are shown; {designs} more stand in the table ranking."
            ));
        }
        if settings > 0 {
            words.push(format!(
                "{settings} more climates or settings of the run are not shown; the tables hold them."
            ));
        }
        if self.run.is_sampled() {
            words.push(format!(
                "Each design was computed {} times with inputs drawn at random. Where one figure stands for a \
                 design it is that of its middle draw, the one whose fuel of the year is in the middle. Its price is one draw of \
                 many too: costs with their ranges stand under Which design.",
                self.run.manifest().draws
            ));
        }
        (!words.is_empty()).then(|| words.join(" "))
    }
}
