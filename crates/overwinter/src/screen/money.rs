//! What designs cost more, what they save over the years, and when they have paid for themselves.

use overwinter_study::money::{Basis, DesignMoney, MoneyDigest, SettingMoney, Told};

use super::figures;
use super::layout::{Lean, columns, item};

/// Most designs that are shown of a setting.
const MOST_DESIGNS: usize = 8;

/// The block.
pub(super) fn block(digest: &MoneyDigest) -> String {
    let mut text = String::from("\n");
    if digest.settings.is_empty() {
        let Some(cost) = digest.whole_cost else {
            return String::new();
        };
        text += &item(&format!(
            "{} {} over {}: parts, energy and upkeep, worth on the day of buying. See the tables costs and \
             cash_flow.",
            figures::figures(cost),
            digest.currency,
            terms(digest),
        ));
        return text;
    }
    text += &table(digest);
    let draws = match digest.draws {
        1 => String::new(),
        draws => format!("; medians of {} draws", figures::count(draws)),
    };
    text += &item(&format!(
        "Over {}{draws}. Paid back: years of savings until the extra first cost has come back. Net saving: by \
         how much the life-cycle cost is lower, as one sum on the day of buying.",
        terms(digest)
    ));
    text.extend(digest.settings.iter().map(remarks));
    text += &item(
        "Estimates at the prices, lives and rates stated; no saving is promised, and an assessor has to \
         review them. See the tables savings, costs and cash_flow.",
    );
    text
}

fn terms(digest: &MoneyDigest) -> String {
    let terms = &digest.terms;
    let money = match terms.basis {
        Basis::Constant => "above inflation",
        Basis::Current => "with inflation in it",
    };
    let rate = figures::figures(terms.rate * 100.0);
    format!("{} years at {rate} % a year {money}", terms.years)
}

fn table(digest: &MoneyDigest) -> String {
    let currency = &*digest.currency;
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
        rows.extend(setting.designs.iter().take(MOST_DESIGNS).map(line));
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
fn remarks(setting: &SettingMoney) -> String {
    let place = setting.labels.join(", ");
    let place = match place.as_str() {
        "" => place,
        _ => format!("{place}: "),
    };
    let remark = |design: &DesignMoney| {
        let mut words = Vec::new();
        if let Some((part, life_years)) = &design.short_life {
            words.push(format!(
                "its part {part} lasts {} years and wears out before it has paid for itself",
                figures::figures(*life_years)
            ));
        }
        if is_taken_back(design) {
            words
                .push("(*) what is bought again takes the balance below zero once more".to_owned());
        }
        let words = words.join("; ");
        (!words.is_empty()).then(|| item(&format!("{place}{}: {words}.", design.label)))
    };
    setting.designs.iter().filter_map(remark).collect()
}
