//! What a screen tells of money: for each design what it costs more, saves, and when it has paid.

use std::sync::Arc;

use super::paired::{Cases, Paired};
use super::savings::SavingsRow;
use super::stated::StatedTerms;
use crate::ranking::Grid;

/// Money of a study in short. Sums are in [`MoneyDigest::currency`].
#[derive(Clone, Debug, PartialEq)]
pub struct MoneyDigest {
    /// Years and rates.
    pub terms: StatedTerms,
    /// Currency of all sums.
    pub currency: Arc<str>,
    /// Draws of each design.
    pub draws: usize,
    /// The settings that have designs to compare; empty where there is one design.
    pub settings: Vec<SettingMoney>,
    /// Life-cycle cost of the first case that ran, where nothing is compared.
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
    /// Share of the draws in which the money comes back and what is bought again never takes it back.
    pub payback_holds_share: Option<f64>,
    /// Net saving over the study period, in year 0.
    pub net_saving: Told,
    /// Share of its energy at the site that is saved, %.
    pub energy_saved_percent: Told,
    /// A part that wears out before it has paid for itself in some draw, with its life in years.
    pub short_life: Option<(Arc<str>, f64)>,
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
    let whole_cost = || Some(first.cash_flow().ok()?.present_values().whole_cost());
    let settings: Vec<SettingMoney> = grid
        .settings
        .iter()
        .enumerate()
        .filter_map(of_setting)
        .collect();
    Some(MoneyDigest {
        terms: first.stated.terms,
        currency: Arc::from(first.stated.currency.as_str()),
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
        payback_holds_share: row("simple payback").and_then(|row| row.holds_share),
        net_saving: told("net saving"),
        energy_saved_percent: told("site energy saved"),
        short_life: short_life.and_then(|row| Some((row.note.clone()?, row.median?))),
    }
}
