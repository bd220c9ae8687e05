//! What a design saves against a baseline, and whether that pays for it.

use crate::cash_flow::{CashFlow, Costs, YearRow};
use crate::emissions::Emissions;
use crate::error::EconomicsError;
use crate::payback::{Payback, payback};
use crate::plan::Plan;
use crate::rate_of_return::{RateOfReturn, rate_of_return};
use crate::terms::Terms;

/// An alternative beside a baseline. Present values are those of year 0, rates and paybacks in the
/// money of the terms. Loans are left out of every measure but [`Comparison::debt_service_coverage`]:
/// the measures judge the design, whoever pays for it.
///
/// # References
/// NIST Handbook 135 and ASTM E917 (definitions, from memory).
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// The baseline's present values.
    pub base: Costs,
    /// The alternative's present values.
    pub alternative: Costs,
    /// Savings year by year from year 0, for a chart.
    pub rows: Vec<SavingRow>,
    /// Present value of what running the house takes less: energy, upkeep, value of light.
    pub running_saving: f64,
    /// Present value of what the parts take more: first costs less grant, replacements less residual
    /// value.
    pub extra_investment: f64,
    /// Net saving (NS): life-cycle cost of the baseline less that of the alternative.
    pub net_saving: f64,
    /// Saving-to-investment ratio (SIR): running saving over extra investment; `None` without extra
    /// investment. Above 1 exactly where the net saving is above 0.
    pub saving_to_investment: Option<f64>,
    /// Adjusted internal rate of return (AIRR) a year, savings reinvested at the rate of discount; `None`
    /// without extra investment or without a saving. Above the rate of discount exactly where the
    /// ratio is above 1.
    ///
    /// ```text
    /// AIRR = (1 + d) SIR^(1/N) - 1
    /// ```
    pub adjusted_rate_of_return: Option<f64>,
    /// Internal rate of return (IRR) a year.
    pub rate_of_return: RateOfReturn,
    /// Until undiscounted savings have paid for the extra first cost.
    pub simple_payback: Payback,
    /// Until discounted savings have paid for the extra first cost.
    pub discounted_payback: Payback,
    /// Parts bought for the alternative that wear out before the simple payback.
    pub outlived_parts: Vec<OutlivedPart>,
    /// Energy saved a year at the site, kWh.
    pub energy_saved_kwh_year: f64,
    /// The same as a share of the baseline's; `None` if that uses none.
    pub energy_saved_share: Option<f64>,
    /// Greenhouse gases avoided a year; `None` if it is not known of a carrier used by either.
    pub emissions_avoided_year: Option<Emissions>,
}

/// What the alternative saves at the end of one year, in the money of the terms.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SavingRow {
    /// 0 is the day of buying.
    pub year: u32,
    /// First costs saved less grants, negative for an extra cost.
    pub first_cost: f64,
    /// Running cost saved.
    pub running: f64,
    /// Replacements saved.
    pub replacements: f64,
    /// Residual value gained.
    pub residual: f64,
    /// Sum of first cost, running and replacements to the end of this year, undiscounted.
    pub cumulative: f64,
    /// The same, discounted.
    pub cumulative_discounted: f64,
    /// What the alternative's loan takes in this year.
    pub loan_paid: f64,
}

/// A part that has to be bought again before it has paid for itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutlivedPart {
    /// Its name.
    pub part: String,
    /// Its life.
    pub life_years: u32,
}

impl Comparison {
    /// Compares `alternative` with `base` under the same terms.
    ///
    /// # Errors
    /// A sum, rate, life or grant of either plan outside its range.
    pub fn new(base: &Plan, alternative: &Plan, terms: &Terms) -> Result<Self, EconomicsError> {
        let base_flow = CashFlow::new(base, terms)?;
        let alternative_flow = CashFlow::new(alternative, terms)?;
        let rows = saving_rows(&base_flow, &alternative_flow, terms);
        let (before, after) = (
            base_flow.present_values(),
            alternative_flow.present_values(),
        );
        let running_saving = difference(before.running_cost(), after.running_cost());
        let extra_investment = difference(after.investment(), before.investment());
        let ratio = (extra_investment > 0.0)
            .then(|| running_saving / extra_investment)
            .filter(|ratio| ratio.is_finite());
        let simple_payback = payback_of(&rows, 0.0);
        Ok(Self {
            running_saving,
            extra_investment,
            net_saving: running_saving - extra_investment,
            saving_to_investment: ratio,
            adjusted_rate_of_return: ratio.and_then(|ratio| adjusted_rate(ratio, terms)),
            rate_of_return: rate_of_return(&payments(&rows)),
            simple_payback,
            discounted_payback: payback_of(&rows, terms.discount_rate()),
            outlived_parts: outlived_parts(base, alternative, simple_payback, terms.years()),
            energy_saved_kwh_year: base.energy_kwh_year() - alternative.energy_kwh_year(),
            energy_saved_share: energy_saved_share(base, alternative),
            emissions_avoided_year: emissions_avoided(base, alternative),
            base: before,
            alternative: after,
            rows,
        })
    }

    /// How many times its price a carrier has to cost, from year 0 on and in both designs, for the net
    /// saving to be 0; below 0 where no price does it. `None` where its price does not matter.
    pub fn break_even_price_times(&self, carrier: &str) -> Option<f64> {
        let saved = difference(
            cost_of(&self.base, carrier),
            cost_of(&self.alternative, carrier),
        );
        let times = 1.0 - self.net_saving / saved;
        (saved != 0.0 && times.is_finite()).then_some(times)
    }

    /// Running cost saved over what the alternative's loan takes, in the year in which it is lowest; a
    /// lender wants it above 1 with a margin. `None` without a loan.
    pub fn debt_service_coverage(&self) -> Option<f64> {
        let paying = self.rows.iter().filter(|row| row.loan_paid > 0.0);
        let shares = paying.map(|row| row.running / row.loan_paid);
        shares.filter(|share| share.is_finite()).reduce(f64::min)
    }
}

fn saving_rows(base: &CashFlow, alternative: &CashFlow, terms: &Terms) -> Vec<SavingRow> {
    let (mut cumulative, mut cumulative_discounted) = (0.0, 0.0);
    let pairs = base.rows().iter().zip(alternative.rows());
    let rows = pairs.map(|(before, after)| {
        let row = saving_row(before, after);
        let saved = row.first_cost + row.running + row.replacements;
        cumulative += saved;
        cumulative_discounted += saved * terms.discount_factor(row.year);
        SavingRow {
            cumulative,
            cumulative_discounted,
            ..row
        }
    });
    rows.collect()
}

fn saving_row(before: &YearRow, after: &YearRow) -> SavingRow {
    let (year, before, after) = (after.year, &before.costs, &after.costs);
    SavingRow {
        year,
        first_cost: difference(before.first_cost(), after.first_cost()),
        running: difference(before.running_cost(), after.running_cost()),
        replacements: difference(before.replacements, after.replacements),
        residual: difference(after.residual, before.residual),
        loan_paid: after.loan_paid,
        ..SavingRow::default()
    }
}

/// `from` less `less`; 0 where they differ by no more than rounding.
fn difference(from: f64, less: f64) -> f64 {
    let difference = from - less;
    if difference.abs() <= 1e-12 * from.abs().max(less.abs()) {
        return 0.0;
    }
    difference
}

fn adjusted_rate(ratio: f64, terms: &Terms) -> Option<f64> {
    let root = ratio.powf(f64::from(terms.years()).recip());
    (ratio > 0.0).then(|| (1.0 + terms.discount_rate()) * root - 1.0)
}

fn payments(rows: &[SavingRow]) -> Vec<f64> {
    let payment = |row: &SavingRow| row.first_cost + row.running + row.replacements + row.residual;
    rows.iter().map(payment).collect()
}

fn payback_of(rows: &[SavingRow], rate: f64) -> Payback {
    let extra_cost = rows.first().map_or(0.0, |row| -row.first_cost);
    let savings = rows
        .iter()
        .skip(1)
        .map(|row| row.running + row.replacements);
    payback(extra_cost, &savings.collect::<Vec<f64>>(), rate)
}

/// Parts with a first cost that the baseline does not have in the same way.
fn outlived_parts(
    base: &Plan,
    alternative: &Plan,
    payback: Payback,
    period_years: u32,
) -> Vec<OutlivedPart> {
    let bought = alternative
        .parts
        .iter()
        .filter(|part| part.first_cost() > 0.0);
    bought
        .filter(|part| !base.parts.contains(part))
        .filter(|part| payback.outlasts(part.life_years, period_years))
        .map(|part| OutlivedPart {
            part: part.name.clone(),
            life_years: part.life_years,
        })
        .collect()
}

fn energy_saved_share(base: &Plan, alternative: &Plan) -> Option<f64> {
    let before_kwh = base.energy_kwh_year();
    let share = 1.0 - alternative.energy_kwh_year() / before_kwh;
    (before_kwh > 0.0 && share.is_finite()).then_some(share)
}

fn emissions_avoided(base: &Plan, alternative: &Plan) -> Option<Emissions> {
    Some(base.emissions_year()? - alternative.emissions_year()?)
}

fn cost_of(values: &Costs, carrier: &str) -> f64 {
    let energy = values
        .energy
        .iter()
        .filter(|energy| energy.carrier == carrier);
    energy.map(|energy| energy.cost).sum()
}
