//! What a screen tells of money: for each design what it costs more, saves, and when it has paid.

use std::sync::Arc;

use super::paired::{Cases, Paired};
use super::savings::SavingsRow;
use super::stated::{Money, StatedTerms};
use crate::ranking::{Grid, Spread};

/// Money of a study in short. Sums are in [`MoneyDigest::currency`].
#[derive(Clone, Debug, PartialEq)]
pub struct MoneyDigest {
    /// Years and rates, if they are those of all cases.
    pub terms: Option<StatedTerms>,
    /// Currency of all sums, if all cases have the same.
    pub currency: Option<Arc<str>>,
    /// Draws of each design.
    pub draws: usize,
    /// The settings that have designs to compare; empty where there is one design.
    pub settings: Vec<SettingMoney>,
    /// Life-cycle cost, median of the draws, where there is one design in one setting.
    pub whole_cost: Option<f64>,
}

/// Designs against one of them.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingMoney {
    /// Label on each axis of settings.
    pub labels: Vec<Arc<str>>,
    /// What the designs are compared with.
    pub against: Arc<str>,
    /// The designs, in order.
    pub designs: Vec<DesignMoney>,
}

/// A design against another: medians over the draws, each with the range of 90 of 100 from ten on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DesignMoney {
    /// Labels of its alternatives.
    pub label: Arc<str>,
    /// What it costs more to begin with, less its grant.
    pub extra_first_cost: Told,
    /// What it saves in the first year.
    pub saved_in_year_1: Told,
    /// Years until that has paid for it; no value where it does not within the study period.
    pub payback_years: Told,
    /// Share of the draws in which the money comes back.
    pub payback_reached_share: Option<f64>,
    /// Share of the draws in which the money comes back and what is bought again never takes it back.
    pub payback_holds_share: Option<f64>,
    /// Net saving over the study period, in year 0.
    pub net_saving: Told,
    /// Share of its energy at the site that is saved, %.
    pub energy_saved_percent: Told,
    /// What of it the parts are still worth at the end.
    pub value_left: Told,
    /// A part that wears out before it has paid for itself in some draw.
    pub short_life: Option<ShortLife>,
    /// True if part of what is saved is heat that the house did not get.
    pub lacks_heat: bool,
}

/// A part that wears out before it has paid for itself.
#[derive(Clone, Debug, PartialEq)]
pub struct ShortLife {
    /// Its name.
    pub part: Arc<str>,
    /// How long it lasts.
    pub life_years: f64,
    /// Share of the draws in which that is so.
    pub share_of_draws: f64,
}

/// A median with its range.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Told {
    /// Median.
    pub median: Option<f64>,
    /// 5 and 95 % points.
    pub range: Option<[f64; 2]>,
}

/// That of a study; `None` if no case counts money.
pub(crate) fn digest(
    grid: &Grid,
    draws: usize,
    cases: Cases<'_>,
    pairs: &[Paired<'_>],
    rows: &[SavingsRow],
) -> Option<MoneyDigest> {
    let first = cases.iter().copied().flatten().next()?;
    let of_setting = |(index, setting): (usize, &crate::ranking::Setting)| {
        let of: Vec<&Paired<'_>> = pairs
            .iter()
            .filter(|paired| paired.setting == index && !paired.draws.is_empty())
            .collect();
        let against = grid.designs.get(of.first()?.against.design)?;
        Some(SettingMoney {
            labels: setting.labels.clone(),
            against: Arc::clone(against),
            designs: of.iter().map(|paired| design(grid, paired, rows)).collect(),
        })
    };
    let first = first.stated.as_ref();
    let is_one = |of: &dyn Fn(&Money) -> bool| cases.iter().flatten().all(|case| of(&case.stated));
    let whole_cost = || {
        let costs = cases
            .iter()
            .flatten()
            .filter_map(|case| case.cash_flow().ok());
        let costs: Vec<f64> = costs
            .map(|flow| flow.present_values().whole_cost())
            .collect();
        (cases.len() == draws).then_some(Spread::of(&costs)?.median)
    };
    let settings: Vec<SettingMoney> = grid
        .settings
        .iter()
        .enumerate()
        .filter_map(of_setting)
        .collect();
    Some(MoneyDigest {
        terms: is_one(&|of| of.terms == first.terms).then_some(first.terms),
        currency: is_one(&|of| of.currency == first.currency)
            .then(|| Arc::from(first.currency.as_str())),
        draws,
        whole_cost: settings.is_empty().then(whole_cost).flatten(),
        settings,
    })
}

fn design(grid: &Grid, paired: &Paired<'_>, rows: &[SavingsRow]) -> DesignMoney {
    let is_of = |row: &&SavingsRow| row.setting == paired.setting && row.cell == paired.cell;
    let row = |measure: &str| {
        let mut of = rows.iter().filter(is_of);
        of.find(|row| row.measure == measure)
    };
    let told = |measure: &str| {
        row(measure).map_or(Told::default(), |row| Told {
            median: row.median,
            range: row.range,
        })
    };
    let short_life = row("life shorter than payback");
    DesignMoney {
        label: grid
            .designs
            .get(paired.cell.design)
            .cloned()
            .unwrap_or_default(),
        extra_first_cost: told("extra first cost"),
        saved_in_year_1: told("saved in year 1"),
        payback_years: told("simple payback"),
        payback_reached_share: row("simple payback").and_then(|row| row.reached_share),
        payback_holds_share: row("simple payback").and_then(|row| row.holds_share),
        net_saving: told("net saving"),
        energy_saved_percent: told("site energy saved"),
        value_left: told("value left in net saving"),
        short_life: short_life.and_then(|row| {
            Some(ShortLife {
                part: row.note.clone()?,
                life_years: row.median?,
                share_of_draws: row.share_of_draws?,
            })
        }),
        lacks_heat: row("heat lacking").is_some_and(|row| row.note.is_some()),
    }
}
