//! A plan year by year, and what each of its costs is worth in year 0.

use crate::error::EconomicsError;
use crate::loan::Loan;
use crate::plan::{Part, Plan};
use crate::terms::Terms;

/// A plan under its terms.
#[derive(Clone, Debug, PartialEq)]
pub struct CashFlow {
    terms: Terms,
    rows: Vec<YearRow>,
}

/// What is paid at the end of one year, in the money of the terms.
#[derive(Clone, Debug, PartialEq)]
pub struct YearRow {
    /// 0 is the day of buying.
    pub year: u32,
    /// What falls due.
    pub costs: Costs,
}

/// Costs and incomes, those of one year or the present values of all years. Both are positive.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Costs {
    /// First costs that a grant office or lender accepts.
    pub eligible_cost: f64,
    /// Other first costs.
    pub other_cost: f64,
    /// Income: the grant.
    pub grant: f64,
    /// Parts bought again.
    pub replacements: f64,
    /// Income: what the parts are worth at the end of the study period.
    pub residual: f64,
    /// Energy by carrier, in the plan's order.
    pub energy: Vec<CarrierCost>,
    /// Upkeep.
    pub upkeep: f64,
    /// Income, negative if it is a loss: yield by more or less light.
    pub light_value: f64,
    /// Income: the loan.
    pub loan_drawn: f64,
    /// Interest and repayment of the loan. What falls due after the study period is not counted.
    pub loan_paid: f64,
}

/// What energy of one carrier costs.
#[derive(Clone, Debug, PartialEq)]
pub struct CarrierCost {
    /// Name of the carrier.
    pub carrier: String,
    /// Its cost.
    pub cost: f64,
}

impl Costs {
    /// First costs less the grant.
    pub fn first_cost(&self) -> f64 {
        self.eligible_cost + self.other_cost - self.grant
    }

    /// Spent on having the parts: first costs less grant, replacements less residual value.
    pub fn investment(&self) -> f64 {
        self.first_cost() + self.replacements - self.residual
    }

    /// Energy of all carriers.
    pub fn all_energy(&self) -> f64 {
        self.energy.iter().map(|energy| energy.cost).sum()
    }

    /// Spent on running the house: energy and upkeep, less the value of light.
    pub fn running_cost(&self) -> f64 {
        self.all_energy() + self.upkeep - self.light_value
    }

    /// Investment and running cost: of present values the life-cycle cost (LCC).
    ///
    /// ```text
    /// LCC = I + Repl - Res + E + OM&R        all in present value
    /// ```
    ///
    /// The loan stands outside, since it changes who pays when and not what the design costs; add
    /// [`Costs::loan_net_cost`] for a design that comes with its loan.
    ///
    /// # References
    /// National Institute of Standards and Technology (NIST), Handbook 135 (from memory).
    pub fn whole_cost(&self) -> f64 {
        self.investment() + self.running_cost()
    }

    /// What a loan takes less what it brings: of present values 0 for a loan at the rate of discount
    /// that ends within the study period, negative for a cheaper one.
    pub fn loan_net_cost(&self) -> f64 {
        self.loan_paid - self.loan_drawn
    }

    /// What leaves the owner's pocket: everything, less what a loan brings, with what it takes.
    pub fn paid_by_owner(&self) -> f64 {
        self.whole_cost() + self.loan_net_cost()
    }

    /// Each cost and income times `factor`.
    fn times(&self, factor: f64) -> Self {
        let energy = self.energy.iter().map(|energy| CarrierCost {
            carrier: energy.carrier.clone(),
            cost: energy.cost * factor,
        });
        Self {
            eligible_cost: self.eligible_cost * factor,
            other_cost: self.other_cost * factor,
            grant: self.grant * factor,
            replacements: self.replacements * factor,
            residual: self.residual * factor,
            energy: energy.collect(),
            upkeep: self.upkeep * factor,
            light_value: self.light_value * factor,
            loan_drawn: self.loan_drawn * factor,
            loan_paid: self.loan_paid * factor,
        }
    }

    /// Adds those of another year of the same plan.
    fn add(&mut self, other: &Self) {
        self.eligible_cost += other.eligible_cost;
        self.other_cost += other.other_cost;
        self.grant += other.grant;
        self.replacements += other.replacements;
        self.residual += other.residual;
        for (energy, more) in self.energy.iter_mut().zip(&other.energy) {
            energy.cost += more.cost;
        }
        self.upkeep += other.upkeep;
        self.light_value += other.light_value;
        self.loan_drawn += other.loan_drawn;
        self.loan_paid += other.loan_paid;
    }
}

impl CashFlow {
    /// Lays out `plan` over the years of `terms`.
    ///
    /// # Errors
    /// A sum, rate, life or grant of the plan outside its range.
    pub fn new(plan: &Plan, terms: &Terms) -> Result<Self, EconomicsError> {
        plan.check()?;
        let running = (0..=terms.years()).map(|year| YearRow {
            year,
            costs: running_costs(plan, terms, year),
        });
        let mut rows: Vec<YearRow> = running.collect();
        let now = &mut rows[0].costs;
        now.eligible_cost = plan.eligible_cost();
        now.other_cost = plan.other_cost();
        now.grant = plan.grant;
        for part in &plan.parts {
            add_part(&mut rows, part, terms);
        }
        if let Some(loan) = &plan.loan {
            add_loan(&mut rows, loan, terms)?;
        }
        Ok(Self {
            terms: *terms,
            rows,
        })
    }

    /// Years 0 to the end of the study period.
    pub fn rows(&self) -> &[YearRow] {
        &self.rows
    }

    /// What each cost and income of all years is worth in year 0.
    pub fn present_values(&self) -> Costs {
        let worth = |row: &YearRow| row.costs.times(self.terms.discount_factor(row.year));
        let sum = self.rows.iter().map(worth).reduce(|mut sum, costs| {
            sum.add(&costs);
            sum
        });
        sum.unwrap_or_default()
    }

    /// Life-cycle cost (LCC): the present values' [`Costs::whole_cost`].
    pub fn life_cycle_cost(&self) -> f64 {
        self.present_values().whole_cost()
    }
}

/// What running the house takes at the end of `year`; nothing in year 0.
fn running_costs(plan: &Plan, terms: &Terms, year: u32) -> Costs {
    let times = |cost_year: f64, escalation: f64| match year {
        0 => 0.0,
        _ => cost_year * terms.price_in(year, escalation),
    };
    let energy = plan.energy.iter().map(|energy| CarrierCost {
        carrier: energy.carrier.clone(),
        cost: times(energy.cost_year(), energy.escalation),
    });
    Costs {
        energy: energy.collect(),
        upkeep: times(plan.upkeep_year, plan.upkeep_escalation),
        light_value: times(plan.light_value_year.unwrap_or(0.0), 0.0),
        ..Costs::default()
    }
}

fn add_part(rows: &mut [YearRow], part: &Part, terms: &Terms) {
    let years = terms.years();
    for year in part.replacement_years(years) {
        let price = terms.price_in(year, part.escalation);
        rows[year as usize].costs.replacements += part.replacement_cost * price;
    }
    let residual = part.residual_value(years) * terms.price_in(years, 0.0);
    rows[years as usize].costs.residual += residual;
}

fn add_loan(rows: &mut [YearRow], loan: &Loan, terms: &Terms) -> Result<(), EconomicsError> {
    let payment = loan.payment_year()?;
    rows[0].costs.loan_drawn = loan.principal;
    for row in rows.iter_mut().skip(1).take(loan.years as usize) {
        row.costs.loan_paid = payment * terms.fixed_in(row.year);
    }
    Ok(())
}
