//! What designs cost more, what they save over the years, and when they have paid for themselves.

use overwinter_study::money::{Basis, DesignMoney, MoneyDigest, SettingMoney, ShortLife, Told};

use super::figures;
use super::layout::{Lean, columns, item};

/// Most designs that are shown of a setting.
const MOST_DESIGNS: usize = 8;

/// The block.
pub(super) fn block(digest: &MoneyDigest) -> String {
    let mut text = String::from("\n");
    if digest.settings.is_empty() {
        let Some((cost, currency)) = digest.whole_cost.zip(digest.currency.as_deref()) else {
            return text + &item("Money: nothing is compared. See the tables costs and cash_flow.");
        };
        text += &item(&format!(
            "{} {currency} over {}: parts, energy and upkeep, worth on the day of buying{}. See the tables costs \
             and cash_flow.",
            figures::figures(cost),
            terms(digest),
            medians(digest),
        ));
        return text;
    }
    text += &table(digest);
    text += &item(&format!(
        "Over {}{}. Paid back: years of savings until the extra first cost has come back, without what the \
         parts are still worth at the end. Net saving: by how much the life-cycle cost is lower, as one sum on \
         the day of buying, with that.",
        terms(digest),
        medians(digest)
    ));
    let of_setting = |setting| remarks(setting, digest);
    text.extend(digest.settings.iter().map(of_setting));
    text += &item(
        "Estimates at the prices, lives and rates stated; no saving is promised, and an assessor has to \
         review them. See the tables savings, costs and cash_flow.",
    );
    text
}

fn terms(digest: &MoneyDigest) -> String {
    let Some(terms) = &digest.terms else {
        return "years and at rates that differ from case to case".to_owned();
    };
    let money = match terms.basis {
        Basis::Constant => "above inflation",
        Basis::Current => "with inflation in it",
    };
    let rate = figures::figures(terms.rate * 100.0);
    format!("{} years at {rate} % a year {money}", terms.years)
}

fn medians(digest: &MoneyDigest) -> String {
    match digest.draws {
        1 => String::new(),
        draws => format!("; medians of {} draws", figures::count(draws)),
    }
}

fn table(digest: &MoneyDigest) -> String {
    let currency = digest.currency.as_deref().unwrap_or("own money");
    let mut rows = [
        [
            "Money",
            "costs more",
            "saved in",
            "paid back",
            "net saving",
            "90 of 100",
            "energy",
        ],
        ["", "at first", "year 1", "after", "", "draws", "saved"],
        ["", currency, currency, "years", currency, currency, "%"],
    ]
    .map(|row| row.map(str::to_owned).to_vec())
    .to_vec();
    for setting in &digest.settings {
        let mut row = vec![heading(setting)];
        row.resize(rows[0].len(), String::new());
        rows.push(row);
        rows.extend(shown(setting).map(line));
    }
    let mut lean = vec![Lean::Right; rows[0].len()];
    lean[0] = Lean::Left;
    columns(&rows, &lean, 0..1)
}

fn heading(setting: &SettingMoney) -> String {
    let name = setting.labels.join(", ");
    match name.as_str() {
        "" => format!("against {}", setting.against),
        name => format!("{name} (against {})", setting.against),
    }
}

fn line(design: &DesignMoney) -> Vec<String> {
    let none = || "-".to_owned();
    let number = |told: Told| told.median.map_or_else(none, figures::figures);
    let range = |told: Told| {
        told.range.map_or_else(none, |[low, high]| {
            format!("{} to {}", figures::figures(low), figures::figures(high))
        })
    };
    let paid = match design.payback_years.median {
        None => "not paid".to_owned(),
        Some(years) if is_taken_back(design) => format!("{} *", figures::figures(years)),
        Some(years) => figures::figures(years),
    };
    vec![
        format!("  {}", design.label),
        number(design.extra_first_cost),
        number(design.saved_in_year_1),
        paid,
        number(design.net_saving),
        range(design.net_saving),
        number(design.energy_saved_percent),
    ]
}

/// True if, in most of the draws, the money comes back and is spent once more.
fn is_taken_back(design: &DesignMoney) -> bool {
    let comes_back = design.payback_years.median.is_some();
    comes_back && design.payback_holds_share.is_some_and(|holds| holds < 0.5)
}

/// What a payback hides.
fn remarks(setting: &SettingMoney, digest: &MoneyDigest) -> String {
    let place = setting.labels.join(", ");
    let place = match place.as_str() {
        "" => place,
        _ => format!("{place}: "),
    };
    let remark = |design: &DesignMoney| {
        let mut words = Vec::new();
        let comes_back = design.payback_reached_share.filter(|share| *share < 1.0);
        if let (Some(share), Some(_)) = (comes_back, design.payback_years.median) {
            words.push(format!("it pays back in {}", of_draws(share, digest)));
        }
        let left = design.value_left.median.unwrap_or(0.0);
        if is_mostly_left(design) {
            words.push(format!(
                "its parts are still worth {} at the end, which makes up most of the net saving or all of it",
                figures::figures(left)
            ));
        }
        if let Some(ShortLife {
            part,
            life_years,
            share_of_draws,
        }) = &design.short_life
        {
            let life = figures::figures(*life_years);
            let often = match *share_of_draws < 1.0 {
                true => format!(" in {}", of_draws(*share_of_draws, digest)),
                false => String::new(),
            };
            words.push(format!(
                "its part {part} lasts {life} years and wears out before it has paid for itself{often}"
            ));
        }
        if design.lacks_heat {
            words.push(
                "the heater is too small for it: part of what it saves is heat that the house did not get"
                    .to_owned(),
            );
        }
        if is_taken_back(design) {
            words
                .push("(*) what is bought again takes the balance below zero once more".to_owned());
        }
        let words = words.join("; ");
        (!words.is_empty()).then(|| item(&format!("{place}{}: {words}.", design.label)))
    };
    let mut text: String = shown(setting).filter_map(remark).collect();
    let hidden = setting.designs.len().saturating_sub(MOST_DESIGNS);
    if hidden > 0 {
        text += &item(&format!(
            "{place}{} more designs with smaller net savings stand in the table savings.",
            figures::count(hidden)
        ));
    }
    text
}

/// The designs with the largest net savings, in the order of the scenario.
fn shown(setting: &SettingMoney) -> impl Iterator<Item = &DesignMoney> {
    let net = |design: &DesignMoney| design.net_saving.median.unwrap_or(f64::NEG_INFINITY);
    let mut order: Vec<usize> = (0..setting.designs.len()).collect();
    order.sort_by(|a, b| net(&setting.designs[*b]).total_cmp(&net(&setting.designs[*a])));
    order.truncate(MOST_DESIGNS);
    order.sort_unstable();
    order.into_iter().map(|at| &setting.designs[at])
}

fn of_draws(share: f64, digest: &MoneyDigest) -> String {
    let draws = digest.draws as f64;
    format!(
        "{} of {} draws",
        (share * draws).round(),
        figures::count(digest.draws)
    )
}

/// True if more than half of what is gained, or all of it, is what parts are worth at the end.
fn is_mostly_left(design: &DesignMoney) -> bool {
    let both = design.value_left.median.zip(design.net_saving.median);
    both.is_some_and(|(left, net)| net > 0.0 && left > net / 2.0)
}
