//! Inflated gaps: pressures, hoses, air, electricity, and the hours after the blower stops.

mod mending;
mod notes;
mod stopped;

use overwinter_study::case::{Case, DefaultUsed, Study};
use overwinter_study::inflate::{
    AirThrough, BATTERY_J, Electricity, GapPressures, HOUSE_HUMIDITY, HouseAir, Inflated, WINDS_M_S,
};
use overwinter_units::constants::WATER_DENSITY_KG_M3;
use overwinter_units::{Kind, System, print};

use super::figures::{self, figures, quantity, rough};
use super::layout::{Lean, columns, labelled, title};

/// What stands around the figures.
pub(crate) struct Shown<'a> {
    /// The study.
    pub(crate) study: &'a Study,
    /// The case shown.
    pub(crate) case: &'a Case,
    /// Name of its climate.
    pub(crate) place: &'a str,
    /// What the file leaves open about inflation.
    pub(crate) defaults: Vec<DefaultUsed>,
    /// Units that stand first.
    pub(crate) system: System,
}

/// The text of one case.
pub(crate) fn text(inflated: &Inflated, shown: &Shown) -> String {
    let mut text = format!("{}\n{}\n", title(&shown.study.title), which_case(shown));
    text += &pressures(inflated, shown.system);
    text += &format!("\n{}", mending::text(inflated, shown.system));
    text += &format!("\n{}", air(&inflated.air, shown.system));
    text += &format!("\n{}", electricity(&inflated.electricity, shown.case));
    text += &format!("\n{}", stopped::text(inflated, shown.system));
    text += &format!("\n{}", notes::text(shown));
    text
}

fn which_case(shown: &Shown) -> String {
    let cases = shown.study.cases.len();
    if cases < 2 {
        return String::new();
    }
    let named = shown.study.axis_names.iter().zip(&shown.case.axis_labels);
    let labels: Vec<String> = named
        .map(|(name, label)| format!("{name}: {label}"))
        .collect();
    let number = format!("{} of {cases}: {}", shown.case.id, labels.join("; "));
    labelled("Case", &number)
}

fn pressures(inflated: &Inflated, system: System) -> String {
    let unit = |kind| match (kind, system) {
        (Kind::Pressure, System::Us) => "inH2O",
        (Kind::Pressure, _) => "Pa",
        (Kind::Area, System::Us) => "ft2",
        (Kind::Area, _) => "m2",
        (_, System::Us) => "in",
        (..) => "cm",
    };
    let winds = WINDS_M_S.map(|wind_m_s| print(wind_m_s, Kind::Speed, system));
    let mut first = vec!["", "", "gap,", "gap at", "calm,", "calm,"];
    first.extend(winds.iter().map(String::as_str));
    let mut second = vec!["Section", unit(Kind::Area), "stated", "pressure"];
    second.extend(match system {
        System::Us => ["inH2O", "Pa"],
        System::Si => ["Pa", "inH2O"],
    });
    second.extend([unit(Kind::Pressure), unit(Kind::Pressure), ""]);
    let texts = |cells: &[&str]| cells.iter().map(|cell| (*cell).to_owned()).collect();
    let mut rows: Vec<Vec<String>> = vec![texts(&first), texts(&second)];
    rows.extend(inflated.gaps.iter().map(|gap| row(gap, system)));
    let mut lean = [Lean::Right; 9];
    (lean[0], lean[8]) = (Lean::Left, Lean::Left);
    let asked = quantity(inflated.asked_pa, Kind::Pressure, system);
    let [first, second] = WINDS_M_S.map(|wind_m_s| quantity(wind_m_s, Kind::Speed, system));
    let heading = format!(
        "{asked}; at {first} and {second} at the cover: least left over the wind on any face, of all \
         directions"
    );
    labelled("Pressure asked for", &heading) + "\n" + &columns(&rows, &lean, 0..9)
}

fn row(gap: &GapPressures, system: System) -> Vec<String> {
    let [si, us] = [System::Si, System::Us].map(|system| pressure_number(gap.calm_pa, system));
    let (first, second) = match system {
        System::Us => (us, si),
        System::Si => (si, us),
    };
    let mut row = vec![
        format!("  {}", gap.name),
        area_number(gap.area_m2, system),
        gap_width(gap.stated_gap_m, system),
        gap_width(gap.gap_m, system),
        first,
        second,
    ];
    row.extend(
        gap.windy
            .iter()
            .map(|windy| pressure_number(windy.least_over_face_pa, system)),
    );
    row.push(remarks(gap, system));
    row
}

fn remarks(gap: &GapPressures, system: System) -> String {
    let mut remarks = Vec::new();
    if !gap.is_held {
        remarks.push("UNDER".to_owned());
    }
    let mut pressed = WINDS_M_S.iter().zip(&gap.windy);
    if let Some((wind_m_s, windy)) = pressed.find(|(_, windy)| windy.touching_share > 0.0) {
        remarks.push(format!(
            "pressed in at {} ({} %)",
            print(*wind_m_s, Kind::Speed, system),
            rough(100.0 * windy.touching_share)
        ));
    }
    remarks.join(", ")
}

/// A pressure to a hundredth of an inch of water, or to a pascal.
pub(super) fn pressure_number(pressure_pa: f64, system: System) -> String {
    /// Conventional inch of water: NIST SP 811 (2008), appendix B.8.
    const INCH_WATER_PA: f64 = 249.088_9;
    let text = match system {
        System::Si => format!("{pressure_pa:.0}"),
        System::Us => format!("{:.2}", pressure_pa / INCH_WATER_PA),
    };
    let is_nothing = text.chars().all(|c| !c.is_ascii_digit() || c == '0');
    if is_nothing {
        text.replace('-', "")
    } else {
        text
    }
}

fn area_number(area_m2: f64, system: System) -> String {
    let text = figures::area(area_m2, system);
    text.split(' ').next().unwrap_or_default().to_owned()
}

fn gap_width(gap_m: f64, system: System) -> String {
    match system {
        System::Us => format!("{} in", rough(gap_m / 0.0254)),
        System::Si => format!("{} cm", rough(gap_m * 100.0)),
    }
}

fn air(air: &AirThrough, system: System) -> String {
    let from = match air.inside_share {
        share if share <= 0.0 => "from outdoors".to_owned(),
        share if share >= 1.0 => "from the house".to_owned(),
        share => format!("{} % of it from the house", rough(100.0 * share)),
    };
    let flow = format!(
        "{}, {from}; {} changes of the air in the gaps an hour",
        quantity(air.flow_m3_s, Kind::Flow, system),
        rough(air.changes_per_h)
    );
    let [house, outdoors] =
        [air.house_k, air.outdoors_k].map(|temp_k| figures::temperature(temp_k, system));
    let kept = match air.house_air {
        HouseAir::Held => format!("house held at {house}"),
        HouseAir::Unheated => format!("house not heated, taken at {house}"),
    };
    let heat = format!(
        "{} W/K; at most {} on the design night (99.6 %: {outdoors}; {kept})",
        rough(air.heat_w_k),
        watts(air.design_heat_w, system)
    );
    let water = |kg_day: f64| quantity_a_day(kg_day, system);
    let inside = format!(
        "{} fed from inside (house air at {} % humidity)",
        water(air.water_from_inside_kg_day),
        rough(100.0 * HOUSE_HUMIDITY)
    );
    let outside = format!("{} fed from outside", water(air.water_from_outside_kg_day));
    labelled("Air through the gaps", &flow)
        + &labelled("  heat it carries", &heat)
        + &labelled("  water left there then", &inside)
        + &labelled("", &outside)
}

fn watts(power_w: f64, system: System) -> String {
    quantity(power_w, Kind::Power, system)
}

/// Water by weight and by the gallon.
fn quantity_a_day(kg_day: f64, system: System) -> String {
    if kg_day < 0.005 {
        return "next to nothing".to_owned();
    }
    let gallons = print(kg_day / WATER_DENSITY_KG_M3, Kind::Volume, System::Us);
    let kilograms = format!("{} kg", figures(kg_day));
    match system {
        System::Us => format!("{gallons} ({kilograms}) a day"),
        System::Si => format!("{kilograms} ({gallons}) a day"),
    }
}

fn electricity(electricity: &Electricity, case: &Case) -> String {
    let energy = |energy_j: f64| {
        let cost = electricity.cost(energy_j);
        let cost = cost.map(|cost| format!(" ({} {})", rough(cost), case.currency));
        figures::electricity(energy_j) + &cost.unwrap_or_default()
    };
    let mut text = format!(
        "{} W; {} running all year",
        rough(electricity.draw_w),
        energy(electricity.year_j)
    );
    if let Some((hours, energy_j)) = electricity.heating_h.zip(electricity.heating_j) {
        text += &format!(
            "; {} in the {} h that are colder than the hold temperature",
            energy(energy_j),
            figures::count(hours)
        );
    }
    let battery = if electricity.battery_s.is_finite() {
        let hours = rough(electricity.battery_s / 3600.0);
        format!(
            "{} of a battery (what can be drawn) carries it for {hours} h",
            figures::electricity(BATTERY_J)
        )
    } else {
        "no draw is stated".to_owned()
    };
    labelled("Electricity", &text) + &labelled("", &battery)
}
