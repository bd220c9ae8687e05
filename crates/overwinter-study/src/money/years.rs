//! Payments year by year of one case of each design: the table `cash_flow`.

use std::sync::Arc;

use overwinter_economics::{CashFlow, Costs, SavingRow};

use super::paired::{Cases, Paired};
use super::used::CaseMoney;
use crate::ranking::columns::{self, Labels};
use crate::ranking::{Cell, Grid, RankingPlan};
use crate::tables::Table;
use crate::tables::column::TableBuilder;

/// A year of a design in a setting.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct FlowRow {
    setting: usize,
    cell: Cell,
    case_id: usize,
    against: Option<(Cell, usize)>,
    currency: Arc<str>,
    money_is: &'static str,
    year: u32,
    costs: Costs,
    saved: Option<SavingRow>,
}

/// The rows of a study: of each design the draw in the middle by net saving or, of those that nothing
/// is compared with, by life-cycle cost.
pub(crate) fn rows(
    grid: &Grid,
    plan: &RankingPlan,
    cases: Cases<'_>,
    pairs: &[Paired<'_>],
) -> Vec<FlowRow> {
    let mut rows = Vec::new();
    for (setting, of) in grid.settings.iter().enumerate() {
        for cell in &of.cells {
            let mut all = pairs.iter();
            let paired = all.find(|paired| paired.setting == setting && paired.cell == *cell);
            match paired.and_then(|paired| Some((paired, paired.middle()?))) {
                Some((paired, drawn)) => {
                    let Ok(flow) = drawn.cash_flow() else {
                        continue;
                    };
                    let place = Place {
                        setting,
                        cell: *cell,
                        draw: drawn.draw,
                        against: Some(paired.against),
                    };
                    rows.extend(place.rows(drawn.design, &flow, &drawn.comparison.rows));
                }
                None => rows.extend(alone(setting, *cell, plan, cases)),
            }
        }
    }
    rows
}

/// The rows of a design that is not compared with another.
fn alone(setting: usize, cell: Cell, plan: &RankingPlan, cases: Cases<'_>) -> Vec<FlowRow> {
    let of_draw = |draw: usize| {
        let money = cases.get(cell.first_case + draw).copied().flatten()?;
        let flow = money.cash_flow().ok()?;
        let whole_cost = flow.present_values().whole_cost();
        Some((draw, money, flow, whole_cost))
    };
    let mut drawn: Vec<(usize, &CaseMoney, CashFlow, f64)> =
        (0..plan.draws()).filter_map(of_draw).collect();
    drawn.sort_by(|a, b| a.3.total_cmp(&b.3).then(a.0.cmp(&b.0)));
    let middle = drawn.len().saturating_sub(1) / 2;
    let Some((draw, money, flow, _)) = drawn.get(middle) else {
        return Vec::new();
    };
    let place = Place {
        setting,
        cell,
        draw: *draw,
        against: None,
    };
    place.rows(money, flow, &[])
}

/// Where the years of a case stand.
struct Place {
    setting: usize,
    cell: Cell,
    draw: usize,
    against: Option<Cell>,
}

impl Place {
    fn rows(&self, money: &CaseMoney, flow: &CashFlow, saved: &[SavingRow]) -> Vec<FlowRow> {
        let currency: Arc<str> = Arc::from(money.stated.currency.as_str());
        let case_id = |cell: Cell| cell.first_case + self.draw + 1;
        let row = |year: &overwinter_economics::YearRow| FlowRow {
            setting: self.setting,
            cell: self.cell,
            case_id: case_id(self.cell),
            against: self.against.map(|cell| (cell, case_id(cell))),
            currency: Arc::clone(&currency),
            money_is: money.stated.terms.basis.word(),
            year: year.year,
            costs: year.costs.clone(),
            saved: saved.iter().find(|row| row.year == year.year).copied(),
        };
        flow.rows().iter().map(row).collect()
    }
}

const IN_CURRENCY: &str = "see column currency";

pub(crate) fn table(rows: &[FlowRow], grid: &Grid) -> Table {
    let labels = Labels::of(grid);
    let builder = columns::of_setting(
        "cash_flow",
        "a year of a design in a setting, year 0 being the day of buying: payments of one case, that of the \
         draw in the middle by net saving or, where nothing is compared, by life-cycle cost",
        rows.iter(),
        &labels,
        |row: &FlowRow| row.setting,
    );
    let builder = builder.text("design", "labels of its alternatives", |row: &FlowRow| {
        grid.designs
            .get(row.cell.design)
            .cloned()
            .filter(|name| !name.is_empty())
    });
    let against = |row: &FlowRow| row.against;
    let builder = builder
        .whole("case_id", "number of the case", |row| {
            Some(row.case_id as i64)
        })
        .text(
            "against",
            "the design that it is compared with",
            move |row| grid.designs.get(against(row)?.0.design).cloned(),
        )
        .whole(
            "against_case_id",
            "its case under the same draw",
            move |row| Some(against(row)?.1 as i64),
        )
        .text("currency", "currency of the sums", |row| {
            Some(row.currency.clone())
        })
        .text(
            "money_is",
            "constant: sums in money of year 0; current: as they stand on the bills of the year",
            |row| Some(row.money_is),
        )
        .whole("year", "0 is the day of buying", |row| {
            Some(i64::from(row.year))
        });
    saved_columns(cost_columns(builder)).finish()
}

type Builder<'r> = TableBuilder<'r, FlowRow>;
/// Name and meaning of a column and where its sum stands.
type Sum<Of> = (&'static str, &'static str, fn(&Of) -> f64);

fn cost_columns(builder: Builder<'_>) -> Builder<'_> {
    let columns: [Sum<Costs>; 9] = [
        (
            "first_cost",
            "first costs less the grant",
            Costs::first_cost,
        ),
        ("replacements", "parts bought again", |of| of.replacements),
        ("energy", "energy of all carriers", Costs::all_energy),
        ("upkeep", "upkeep", |of| of.upkeep),
        (
            "light_value",
            "value of more light than the other lets in, where the scenario states one",
            |of| of.light_value,
        ),
        ("residual", "what is left of the parts at the end", |of| {
            of.residual
        }),
        (
            "spent",
            "first costs, replacements, energy and upkeep, less the value of light",
            |of| of.first_cost() + of.replacements + of.running_cost(),
        ),
        ("loan_drawn", "loan drawn, outside what is spent", |of| {
            of.loan_drawn
        }),
        ("loan_paid", "loan payments, outside what is spent", |of| {
            of.loan_paid
        }),
    ];
    sums(builder, columns, |row| Some(&row.costs))
}

fn saved_columns(builder: Builder<'_>) -> Builder<'_> {
    let columns: [Sum<SavingRow>; 3] = [
        (
            "saved",
            "what is spent less than for the other in this year",
            |of| of.first_cost + of.running + of.replacements,
        ),
        (
            "saved_so_far",
            "the same to the end of this year; from zero on it has paid for itself",
            |of| of.cumulative,
        ),
        (
            "saved_so_far_discounted",
            "the same, each year worth what it is on the day of buying",
            |of| of.cumulative_discounted,
        ),
    ];
    sums(builder, columns, |row| row.saved.as_ref())
}

/// Columns of sums of a part of the row.
fn sums<'r, Of: 'r, const COLUMNS: usize>(
    builder: Builder<'r>,
    columns: [Sum<Of>; COLUMNS],
    part: fn(&FlowRow) -> Option<&Of>,
) -> Builder<'r> {
    columns
        .into_iter()
        .fold(builder, |builder, (name, meaning, of)| {
            let name = format!("{name}_in_currency");
            builder.number(name, IN_CURRENCY, meaning, move |row| part(row).map(of))
        })
}
