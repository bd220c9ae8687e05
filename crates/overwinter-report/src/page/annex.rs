//! The annex for whoever grants or lends: what the numbers rest on, and room for a signature.

use maud::{Markup, html};

use super::block::{self, DataTable};
use super::differences::rows_of;
use super::{View, annex_money, checks, inputs, sensitivity};
use crate::designs::Setting;
use crate::facts;
use crate::figures::{self, Quantity};
use crate::manifest::WeatherFile;

/// How the numbers come about, in plain words.
const METHOD: [&str; 6] = [
    "The house is computed hour by hour through the weather year, in steps of half an hour. In each step the heat \
     that enters equals the heat that leaves and what is stored; the same holds for water.",
    "Counted are: sun on each face of the cover and through each layer; heat radiated to the sky; wind and outdoor \
     air at the cover; air that leaks, is vented or is blown between the films; soil under the floor and its edge; \
     water that evaporates, settles on the cover, drips and freezes; the crop, whose leaf has a temperature of its \
     own; heaters with their thermostat, efficiency and fans.",
    "Frost is judged on a leaf at the top that sees the cover, by how cold it gets and for how long.",
    "For failures, the house is computed again from the evening on of every night of the season, with the heater, the \
     blower or the power off, for several lengths, and on two design nights made for the climate.",
    "Heat of the year (season) sets the fuel. The design night sets the heater. They are separate results.",
    "The program is tested against published numbers: sun, sky, heat loss of covers, standard rooms, field figures of \
     growers' bulletins. Its README lists each with its source, its tolerance and the ones that are missed.",
];

/// What the numbers leave out.
const LIMITS: [&str; 6] = [
    "How likely a failure is: no statistic says how long the power is out on the coldest night of one house.",
    "Snow on the cover, and what the frame can carry.",
    "How fast an inflated cover loses its air, and what touching films conduct, as measured: nobody has published it. \
     Where it matters a range is printed.",
    "Growth of the crop, disease, and differences of temperature within the house.",
    "Extremes: a typical year leaves the coldest nights of twenty years out.",
    "Bills: the numbers were not fitted to fuel bills of this house. A grant for an improvement may ask for the same \
     months as the bills, with their own weather.",
];

/// The annex.
pub(super) fn section(view: View<'_>, title: &str, date: &str) -> Markup {
    html! {
        section #annex aria-labelledby="annex-title" {
            h2 #annex-title { "Annex for a grant or a loan" }
            p { "This annex states what the numbers rest on. It was prepared by a program, is not an energy audit, and \
                is not signed by the program: a qualified assessor has to review, correct and sign it." }
            h3 { "A. What this report is of" }
            (identity(view, title, date))
            h3 { "B. Energy of the year" }
            (energy(view))
            h3 { "C. Baseline, costs and saving" }
            (annex_money::section(view))
            h3 { "D. Method in plain words" }
            ul { @for words in METHOD { li { (words) } } }
            h3 { "E. Weather" }
            @for file in &view.run.manifest().weather { (weather(view, file)) }
            @if view.run.manifest().weather.is_empty() { p.gap { "The manifest names no weather file." } }
            h3 { "F. Checks" }
            (checks::section(view))
            h3 { "G. What the result depends on" }
            (sensitivity::section(view))
            h3 { "H. Limits" }
            p { "What these numbers do not tell:" }
            ul { @for words in LIMITS { li { (words) } } }
            h3 { "I. Cautions" }
            @if view.run.manifest().cautions.is_empty() { p.gap { "The manifest holds no cautions." } }
            ul { @for words in &view.run.manifest().cautions { li { (words) } } }
            h3 { "J. Assessor" }
            (assessor())
            h3 { "K. Inputs and where they come from" }
            (inputs::section(view))
        }
    }
}

fn identity(view: View<'_>, title: &str, date: &str) -> Markup {
    let manifest = view.run.manifest();
    let mut table = DataTable::new("The run", vec!["What".to_owned(), "Value".to_owned()]).words();
    table.push("project", vec![title.to_owned()]);
    table.push("date of the report", vec![date.to_owned()]);
    table.push(
        "program",
        vec![format!("{} {}", manifest.program, manifest.version)],
    );
    table.push("scenario file", vec![manifest.scenario.path.clone()]);
    table.push(
        "digest of the scenario (SHA-256)",
        vec![manifest.scenario.sha256.clone()],
    );
    table.push("cases computed", vec![figures::count(manifest.cases)]);
    if view.run.is_sampled() {
        let words = format!(
            "{} of each design, seed {}",
            figures::count(manifest.draws),
            manifest.seed
        );
        table.push("draws", vec![words]);
    }
    if let Some(area) = floor_area(view) {
        table.push("floor", vec![area]);
    }
    html! { (table.draw()) p.note { "The same scenario, weather and program give the same numbers to the last digit." } }
}

fn floor_area(view: View<'_>) -> Option<String> {
    let cases = view.run.table("cases")?;
    let areas = |column: &str| {
        let rows = view
            .rows()
            .flat_map(|(design, _)| cases.of_case(design.case_id));
        let mut areas: Vec<String> = rows
            .filter_map(|row| cases.number(column, row))
            .map(figures::figures)
            .collect();
        areas.dedup();
        areas.join(", ")
    };
    let (ft2, m2) = (areas("floor_area_ft2"), areas("floor_area_m2"));
    Some(match view.system {
        overwinter_units::System::Us => format!("{ft2} ft² ({m2} m²)"),
        overwinter_units::System::Si => format!("{m2} m² ({ft2} ft²)"),
    })
}

/// Baseline and alternatives: fuel, electricity, greenhouse gases.
fn energy(view: View<'_>) -> Markup {
    if view.run.table("fuel_use").is_none() {
        return block::gap(
            "fuel_use",
            "energy and greenhouse gases of each design",
            "Every finished run writes this table.",
        );
    }
    let units = Quantity::Energy.units(view.system);
    let mut head = vec![
        "Design".to_owned(),
        format!("heat to the house, {units}"),
        format!("energy of the fuel, {units}"),
        "electricity, kWh".to_owned(),
        format!("both, {units}"),
        "greenhouse gases of the fuel, kg CO₂e".to_owned(),
    ];
    let saves = view
        .settings()
        .any(|(_, setting, _)| saved(view, setting).next().is_some());
    if saves {
        head.push("saved of the energy of the fuel, %".to_owned());
    }
    let mut table = DataTable::new("Energy and greenhouse gases of the year", head);
    for (design, name) in view.rows() {
        let Some(year) = facts::fuel(view.run, design.case_id, 0) else {
            continue;
        };
        let both = year
            .energy_kwh
            .zip(year.electricity_kwh)
            .map(|(fuel, electricity)| fuel + electricity);
        let mut cells = vec![
            Quantity::Energy.cell(year.heat_kwh, view.system),
            Quantity::Energy.cell(year.energy_kwh, view.system),
            figures::cell(year.electricity_kwh),
            Quantity::Energy.cell(both, view.system),
            figures::cell(year.co2e_kg),
        ];
        if saves {
            let settings = view.run.settings().iter();
            let mut all = settings.flat_map(|setting| saved(view, setting));
            let saved = all.find(|(first_case_id, _)| *first_case_id == design.first_case_id);
            cells.push(figures::cell(saved.map(|(_, percent)| percent)));
        }
        table.push(name, cells);
    }
    html! {
        (table.draw())
        @if saves {
            (block::note(saved_words(view)))
        }
        (block::note("Energy of the fuel is its higher heating value. Electricity is that of blowers, fans and the \
            heaters' own fans, counted where it is used. Greenhouse gases of the fuel are its carbon dioxide, methane and \
            nitrous oxide, added up with the 100-year potentials of the Fifth Assessment Report of the IPCC (28 and \
            265); those of the power station and the carbon dioxide of burned wood are not among them."))
    }
}

/// What the share that is saved means.
fn saved_words(view: View<'_>) -> &'static str {
    if view.run.is_sampled() {
        "Saved is the median difference from the baseline, draw by draw, over the median of the baseline; a line \
         without a figure is the baseline itself. It counts the fuel alone, for the weather year used here. A grant may \
         ask for the months of the bills and for electricity on both sides."
    } else {
        "Saved is the difference from the baseline over the baseline; a line without a figure is the baseline itself. \
         It counts the fuel alone, for the weather year used here. A grant may ask for the months of the bills and for \
         electricity on both sides."
    }
}

/// Percent of the baseline's fuel energy that designs save, by the number of their first case.
fn saved<'a>(view: View<'a>, setting: &'a Setting) -> impl Iterator<Item = (u64, f64)> + 'a {
    let table = view.run.table("compare");
    let rows = table.map_or_else(Vec::new, |table| rows_of(table, setting, "fuel energy"));
    rows.into_iter().filter_map(move |row| {
        let table = table?;
        let baseline = table.number("b_median", row).filter(|&kwh| kwh > 0.0)?;
        let saved = -table.number("a_less_b_median", row)? / baseline * 100.0;
        Some((table.id("a_first_case_id", row)?, saved))
    })
}

fn weather(view: View<'_>, file: &WeatherFile) -> Markup {
    let mut table = DataTable::new(
        format!("Weather file of {}", file.place),
        vec!["What".to_owned(), "Value".to_owned()],
    )
    .words();
    let place = [file.place.as_str(), file.region.as_str()];
    let place: Vec<&str> = place.into_iter().filter(|part| !part.is_empty()).collect();
    let height_ft = file.elevation_m / 0.3048;
    let height = match view.system {
        overwinter_units::System::Us => {
            format!(
                "{} ft ({} m)",
                figures::figures(height_ft),
                figures::figures(file.elevation_m)
            )
        }
        overwinter_units::System::Si => {
            format!(
                "{} m ({} ft)",
                figures::figures(file.elevation_m),
                figures::figures(height_ft)
            )
        }
    };
    table.push("station or place", vec![place.join(", ")]);
    table.push(
        "latitude, longitude",
        vec![format!("{:.2}°, {:.2}°", file.latitude_deg, file.longitude_deg).replace('-', "−")],
    );
    table.push("height above the sea", vec![height]);
    table.push("year", vec![file.year.clone()]);
    table.push("format", vec![file.format.clone()]);
    let credit = file
        .credit
        .clone()
        .unwrap_or_else(|| "not stated in the file".to_owned());
    table.push("source and credit", vec![credit]);
    table.push("file", vec![file.file.path.clone()]);
    table.push("digest (SHA-256)", vec![file.file.sha256.clone()]);
    for stress in &file.stress {
        let words = format!(
            "{} to {}: {}",
            stress.least, stress.greatest, stress.transform
        );
        table.push(format!("changed: {}", stress.key), vec![words]);
    }
    table.draw()
}

/// Room for the one who reviews. The program fills nothing in.
fn assessor() -> Markup {
    let lines = [
        "Name",
        "Firm and licence or certificate",
        "Corrections made",
        "Signature",
        "Date",
    ];
    html! {
        p { "Prepared with a simulation by the applicant or the consultant. Not an energy audit. The program prepares \
            these pages and never signs them; they must be reviewed, corrected where needed, and signed by a qualified \
            assessor." }
        table.sign {
            caption { "To be filled in by hand" }
            tbody { @for line in lines { tr { th scope="row" { (line) } td {} } } }
        }
    }
}
