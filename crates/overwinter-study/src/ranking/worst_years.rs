//! The worst of several years of one place, for each design: the table `worst_years`.
//!
//! A typical year hides extremes. Where the weather files of a study hold calendar years of one
//! place, this says how far apart they are. Files of typical years are left out.

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::sync::Arc;

use super::measures::{Measures, TimeBelow};
use super::plan::{PlannedAxis, RankingPlan};
use super::sample::Cases;
use super::statistics::Sorted;
use crate::tables::Table;
use crate::tables::cases::axis_columns;
use crate::tables::column::TableBuilder;
use crate::tables::units::{degc, degf};

/// A design at a place with files of several calendar years, by one limit of its crop.
#[derive(Clone, Debug, PartialEq)]
pub struct WorstYears {
    /// Label on each axis that is not one of weather files.
    pub labels: Vec<Arc<str>>,
    /// Name of the place.
    pub place: Arc<str>,
    /// The limit.
    pub limit_name: Arc<str>,
    /// The limit.
    pub limit_k: f64,
    /// How many years ran.
    pub years: usize,
    /// How many of them have an hour below.
    pub years_below: usize,
    /// The year with most hours below; of equal ones that with the lowest leaf.
    pub worst: YearBelow,
    /// Median over the years of the hours below.
    pub median_h: f64,
    /// Median over the years of the lowest leaf.
    pub median_low_k: f64,
}

/// A year by one limit; medians over its draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct YearBelow {
    /// The calendar year.
    pub year: i32,
    /// Its first case, counted from 0.
    pub first_case: usize,
    /// Hours below the limit.
    pub hours: f64,
    /// Lowest leaf or, without a crop, air.
    pub low_k: f64,
}

/// Alternative on each axis but those of weather files, with the place.
type Group = (Vec<usize>, usize);

/// The rows of a study.
pub(crate) fn rows(plan: &RankingPlan, cases: Cases<'_>) -> Vec<WorstYears> {
    let mut groups: BTreeMap<Group, Vec<Vec<(TimeBelow, YearBelow)>>> = BTreeMap::new();
    for (at, choice) in plan.choices().enumerate() {
        let first_case = at * plan.draws;
        let drawn = (first_case..first_case + plan.draws).filter_map(|case| *cases.get(case)?);
        let drawn: Vec<&Measures> = drawn.collect();
        let climate = drawn.first().and_then(|of| plan.climates.get(of.climate?));
        let Some((climate, year)) = climate.and_then(|of| Some((of, of.year?))) else {
            continue;
        };
        let others = plan.axes.iter().zip(choice).filter(|(axis, _)| stays(axis));
        let group = (others.map(|(_, at)| at).collect(), climate.same_place);
        let limits = by_limit(&drawn, year, first_case);
        groups.entry(group).or_default().push(limits);
    }
    let several = groups.into_iter().filter(|(_, years)| years.len() >= 2);
    several
        .flat_map(|(group, years)| rows_of(plan, &group, &years))
        .collect()
}

/// True of an axis that tells designs and settings apart whose years are compared.
fn stays(axis: &PlannedAxis) -> bool {
    !axis.is_weather_file
}

/// A year by each of its limits.
fn by_limit(drawn: &[&Measures], year: i32, first_case: usize) -> Vec<(TimeBelow, YearBelow)> {
    let lows = Sorted::of(drawn.iter().filter_map(|of| of.lowest_k()));
    let Some((first, low_k)) = drawn.first().zip(lows.median()) else {
        return Vec::new();
    };
    let one = |(at, limit): (usize, &TimeBelow)| {
        let hours = drawn.iter().filter_map(|of| Some(of.limits.get(at)?.hours));
        let below = YearBelow {
            year,
            first_case,
            hours: Sorted::of(hours).median()?,
            low_k,
        };
        Some((limit.clone(), below))
    };
    first.limits.iter().enumerate().filter_map(one).collect()
}

fn rows_of(
    plan: &RankingPlan,
    (others, place): &Group,
    years: &[Vec<(TimeBelow, YearBelow)>],
) -> Vec<WorstYears> {
    let axes = plan.axes.iter().filter(|axis| stays(axis)).zip(others);
    let labels: Vec<Arc<str>> = axes.map(|(axis, at)| Arc::from(axis.label(*at))).collect();
    let name = plan
        .climates
        .get(*place)
        .map_or("", |climate| &climate.place);
    let row = |at: usize| {
        let (limit, _) = years.first()?.get(at)?;
        let of_years = years.iter().filter_map(|limits| Some(limits.get(at)?.1));
        let of_years: Vec<YearBelow> = of_years.filter(YearBelow::is_finite).collect();
        let median = |of: fn(&YearBelow) -> f64| Sorted::of(of_years.iter().map(of)).median();
        Some(WorstYears {
            labels: labels.clone(),
            place: Arc::from(name),
            limit_name: Arc::from(limit.name.as_str()),
            limit_k: limit.limit_k,
            years: of_years.len(),
            years_below: of_years.iter().filter(|year| year.hours > 0.0).count(),
            worst: of_years.iter().copied().min_by(YearBelow::worse_first)?,
            median_h: median(|year| year.hours)?,
            median_low_k: median(|year| year.low_k)?,
        })
    };
    let limits = years.iter().map(Vec::len).min().unwrap_or(0);
    (0..limits).filter_map(row).collect()
}

impl YearBelow {
    fn is_finite(&self) -> bool {
        self.hours.is_finite() && self.low_k.is_finite()
    }

    fn worse_first(&self, other: &Self) -> Ordering {
        let hours = other.hours.total_cmp(&self.hours);
        let low = self.low_k.total_cmp(&other.low_k);
        hours.then(low).then(self.year.cmp(&other.year))
    }
}

/// The table.
pub(super) fn table(rows: &[WorstYears], plan: &RankingPlan) -> Table {
    let mut builder = TableBuilder::new(
        "worst_years",
        "a design at a place with weather files of at least two calendar years, by one limit of its \
         crop; typical years are left out",
        rows.iter(),
    );
    let names = plan.axes.iter().filter(|axis| stays(axis));
    let names: Vec<String> = names.map(|axis| axis.name.clone()).collect();
    for (at, column) in axis_columns(&names).into_iter().enumerate() {
        let meaning = format!("alternative on the axis {}", names[at]);
        builder = builder.text(column, meaning, |row: &WorstYears| {
            row.labels.get(at).cloned()
        });
    }
    let builder = builder
        .text("place", "name of the place", |row| Some(row.place.clone()))
        .text("limit", "what the limit stands for", |row| {
            Some(row.limit_name.clone())
        })
        .number("limit_degc", "degC", "the limit", |row| degc(row.limit_k))
        .number("limit_degf", "degF", "the limit", |row| degf(row.limit_k))
        .whole("years", "calendar years that ran", |row| {
            Some(row.years as i64)
        })
        .whole(
            "years_below",
            "years of them with an hour below the limit",
            |row| Some(row.years_below as i64),
        );
    year_columns(builder).finish()
}

fn year_columns(builder: TableBuilder<'_, WorstYears>) -> TableBuilder<'_, WorstYears> {
    builder
        .whole(
            "worst_year",
            "the year with most hours below the limit; of equal ones that with the lowest leaf",
            |row| Some(i64::from(row.worst.year)),
        )
        .whole(
            "worst_first_case_id",
            "number of its first case, which the table cases describes",
            |row| Some(row.worst.first_case as i64 + 1),
        )
        .number(
            "worst_below_h",
            "h",
            "its hours below the limit, by the leaf or, without a crop, by the air; the median over \
             the draws where inputs are sampled",
            |row| row.worst.hours,
        )
        .number(
            "worst_lowest_degc",
            "degC",
            "its lowest leaf or, without a crop, air",
            |row| degc(row.worst.low_k),
        )
        .number("worst_lowest_degf", "degF", "the same", |row| {
            degf(row.worst.low_k)
        })
        .number(
            "median_below_h",
            "h",
            "median over the years of the hours below the limit",
            |row| row.median_h,
        )
        .number(
            "median_lowest_degc",
            "degC",
            "median over the years of the lowest leaf or, without a crop, air",
            |row| degc(row.median_low_k),
        )
        .number("median_lowest_degf", "degF", "the same", |row| {
            degf(row.median_low_k)
        })
}
