//! A plan year by year, and what each of its costs is worth in year 0.

use crate::error::EconomicsError;
use crate::plan::Plan;
use crate::terms::Terms;

/// A plan under its terms.
#[derive(Clone, Debug, PartialEq)]
pub struct CashFlow {
    terms: Terms,
    rows: Vec<YearRow>,
    carriers: Vec<String>,
}

/// What is paid at the end of one year. Costs and incomes are both positive.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct YearRow {
    /// 0 is the day of buying.
    pub year: u32,
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
    /// Energy by carrier, in the order of [`CashFlow::carriers`].
    pub energy: Vec<f64>,
    /// Upkeep.
    pub upkeep: f64,
    /// Income, negative if it is a loss: yield by more or less light.
    pub light_value: f64,
    /// Income: the loan.
    pub loan_drawn: f64,
    /// Interest and repayment of the loan.
    pub loan_paid: f64,
}

/// Present values in year 0. Costs and incomes are both positive.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PresentValues {
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
    /// Energy by carrier.
    pub energy: Vec<CarrierCost>,
    /// Upkeep.
    pub upkeep: f64,
    /// Income, negative if it is a loss: yield by more or less light.
    pub light_value: f64,
    /// The loan, which stands outside the life-cycle cost.
    pub loan: LoanCost,
}

/// What energy of one carrier costs over the study period.
#[derive(Clone, Debug, PartialEq)]
pub struct CarrierCost {
    /// Name of the carrier.
    pub carrier: String,
    /// Present value of its cost.
    pub present_value: f64,
}

/// What a loan costs. Payments that fall due after the study period are not counted.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LoanCost {
    /// Sum drawn in year 0.
    pub drawn: f64,
    /// Present value of what is paid for it.
    pub paid: f64,
}

impl LoanCost {
    /// What borrowing costs beyond the sum drawn; 0 for a loan at the rate of discount that ends
    /// within the study period, negative for a cheaper one.
    pub fn net_cost(&self) -> f64 {
        self.paid - self.drawn
    }
}

impl YearRow {
    /// Spent on having the parts: first costs less grant, replacements less residual value.
    pub fn investment(&self) -> f64 {
        self.first_cost() + self.replacements - self.residual
    }

    /// First costs less the grant.
    pub fn first_cost(&self) -> f64 {
        self.eligible_cost + self.other_cost - self.grant
    }

    /// Spent on running the house: energy and upkeep, less the value of light.
    pub fn running_cost(&self) -> f64 {
        self.energy.iter().sum::<f64>() + self.upkeep - self.light_value
    }

    /// What leaves the owner's pocket: everything, less what a loan brings, with what it takes.
    pub fn paid_by_owner(&self) -> f64 {
        self.investment() + self.running_cost() - self.loan_drawn + self.loan_paid
    }
}

impl PresentValues {
    /// First costs less grant, replacements less residual value.
    pub fn investment(&self) -> f64 {
        self.eligible_cost + self.other_cost - self.grant + self.replacements - self.residual
    }

    /// Energy and upkeep, less the value of light.
    pub fn running_cost(&self) -> f64 {
        let energy = self.energy.iter().map(|cost| cost.present_value);
        energy.sum::<f64>() + self.upkeep - self.light_value
    }

    /// Life-cycle cost (LCC): investment and running cost.
    ///
    /// ```text
    /// LCC = I + Repl - Res + E + OM&R        all in present value
    /// ```
    ///
    /// The loan stands outside, since it changes who pays when and not what the design costs; add
    /// [`LoanCost::net_cost`] for a design that comes with its loan.
    ///
    /// # References
    /// NIST Handbook 135 (from memory).
    pub fn life_cycle_cost(&self) -> f64 {
        self.investment() + self.running_cost()
    }
}

impl CashFlow {
    /// Lays out `plan` over the years of `terms`.
    ///
    /// # Errors
    /// A sum, rate, life or grant of the plan outside its range.
    pub fn new(plan: &Plan, terms: &Terms) -> Result<Self, EconomicsError> {
        plan.check()?;
        let years = terms.years();
        let mut rows: Vec<YearRow> = (0..=years)
            .map(|year| running_row(plan, terms, year))
            .collect();
        rows[0].eligible_cost = plan.eligible_cost();
        rows[0].other_cost = plan.other_cost();
        rows[0].grant = plan.grant;
        for part in &plan.parts {
            for year in part.replacement_years(years) {
                let price = terms.price_in(year, part.escalation);
                rows[year as usize].replacements += part.replacement_cost * price;
            }
            rows[years as usize].residual +=
                part.residual_value(years) * terms.price_in(years, 0.0);
        }
        if let Some(loan) = plan.loan {
            let payment = loan.payment_year()?;
            rows[0].loan_drawn = loan.principal;
            for row in rows.iter_mut().skip(1).take(loan.years as usize) {
                row.loan_paid = payment * terms.fixed_in(row.year);
            }
        }
        let carriers = plan.energy.iter().map(|energy| energy.carrier.clone());
        Ok(Self {
            terms: *terms,
            rows,
            carriers: carriers.collect(),
        })
    }

    /// Years 0 to the end of the study period, in the money of the terms.
    pub fn rows(&self) -> &[YearRow] {
        &self.rows
    }

    /// The carriers of energy, in the plan's order.
    pub fn carriers(&self) -> &[String] {
        &self.carriers
    }

    /// What each cost is worth in year 0.
    pub fn present_values(&self) -> PresentValues {
        let energy = self
            .carriers
            .iter()
            .enumerate()
            .map(|(index, carrier)| CarrierCost {
                carrier: carrier.clone(),
                present_value: self.present_value(|row| row.energy[index]),
            });
        PresentValues {
            eligible_cost: self.present_value(|row| row.eligible_cost),
            other_cost: self.present_value(|row| row.other_cost),
            grant: self.present_value(|row| row.grant),
            replacements: self.present_value(|row| row.replacements),
            residual: self.present_value(|row| row.residual),
            energy: energy.collect(),
            upkeep: self.present_value(|row| row.upkeep),
            light_value: self.present_value(|row| row.light_value),
            loan: LoanCost {
                drawn: self.present_value(|row| row.loan_drawn),
                paid: self.present_value(|row| row.loan_paid),
            },
        }
    }

    fn present_value(&self, of: impl Fn(&YearRow) -> f64) -> f64 {
        let discounted = |row| of(row) * self.terms.discount_factor(row.year);
        self.rows.iter().map(discounted).sum()
    }
}

/// What running the house takes at the end of `year`; nothing in year 0.
fn running_row(plan: &Plan, terms: &Terms, year: u32) -> YearRow {
    let times = |cost_year: f64, escalation: f64| match year {
        0 => 0.0,
        _ => cost_year * terms.price_in(year, escalation),
    };
    let energy = plan.energy.iter();
    YearRow {
        year,
        energy: energy
            .map(|energy| times(energy.cost_year(), energy.escalation))
            .collect(),
        upkeep: times(plan.upkeep_year, plan.upkeep_escalation),
        light_value: times(plan.light_value_year.unwrap_or(0.0), 0.0),
        ..YearRow::default()
    }
}
