//! What a scenario states of money, for one case.

use overwinter_economics::{EconomicsError, Loan, Part, Residual, Terms};
use serde::{Deserialize, Serialize};

use crate::case::EmissionFactors;

/// `[money]` of a case. Sums are in one currency at the prices of year 0; rates are shares a year.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Money {
    /// For how long and at what rate.
    pub terms: StatedTerms,
    /// Currency of all sums.
    pub currency: String,
    /// What is bought.
    pub parts: Vec<StatedPart>,
    /// Grant.
    pub grant: f64,
    /// Upkeep a year.
    pub upkeep_year: f64,
    /// Real rise of upkeep a year.
    pub upkeep_rise: f64,
    /// What each percent of sunlight more than the baseline's is worth a year, if the user states it.
    pub light_value_percent_year: Option<f64>,
    /// What is borrowed.
    pub loan: Option<StatedLoan>,
    /// What the house buys: the fuels of its heaters and, if anything draws it, electricity.
    pub carriers: Vec<Carrier>,
}

/// Study period and rates.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StatedTerms {
    /// Study period.
    pub years: u32,
    /// Rate of discount: real in constant money, nominal in current money.
    pub rate: f64,
    /// Inflation.
    pub inflation: f64,
    /// In what money results are told.
    pub basis: Basis,
}

/// In what money rows, paybacks and rates are told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Basis {
    /// With the purchasing power of year 0.
    #[default]
    Constant,
    /// As it stands on the bills of each year.
    Current,
}

/// A part of a design that is bought.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StatedPart {
    /// Its name in the scenario.
    pub name: String,
    /// First cost.
    pub cost: f64,
    /// True if a grant office or lender accepts it.
    pub is_eligible: bool,
    /// Years that it lasts.
    pub life_years: u32,
    /// Its age in year 0.
    pub age_years: u32,
    /// What buying it again costs.
    pub replacement: f64,
    /// Real rise of that cost a year.
    pub rise: f64,
    /// What it is worth at the end, if the user states it; else by the share of its life that is left.
    pub residual: Option<f64>,
}

/// A loan with equal yearly payments.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct StatedLoan {
    /// Sum borrowed.
    pub sum: f64,
    /// Nominal interest a year.
    pub rate: f64,
    /// Payments.
    pub years: u32,
}

/// A fuel, or electricity, as it is bought.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Carrier {
    /// Its name in the catalogue.
    pub name: String,
    /// The unit it is bought in.
    pub unit: String,
    /// Price of one unit.
    pub price: f64,
    /// Real rise of the price a year.
    pub rise: f64,
    /// Higher heating value of one unit.
    pub energy_j_per_unit: f64,
    /// What it gives off, where that is known.
    pub emission_factors: Option<EmissionFactors>,
    /// Where that comes from.
    pub factor_sources: Vec<String>,
}

/// The name of electricity in the catalogue.
pub(crate) const ELECTRICITY: &str = "electricity";

impl StatedTerms {
    /// As the arithmetic takes them.
    ///
    /// # Errors
    /// Years or rates outside their ranges; not for those of a scenario that was read.
    pub fn terms(&self) -> Result<Terms, EconomicsError> {
        let of = match self.basis {
            Basis::Constant => Terms::constant,
            Basis::Current => Terms::current,
        };
        of(self.years, self.rate, self.inflation)
    }
}

impl Basis {
    /// Its word in scenarios and tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Constant => "constant",
            Self::Current => "current",
        }
    }
}

impl StatedPart {
    /// As the arithmetic takes it.
    pub(crate) fn part(&self) -> Part {
        let [eligible_cost, other_cost] = if self.is_eligible {
            [self.cost, 0.0]
        } else {
            [0.0, self.cost]
        };
        Part {
            name: self.name.clone(),
            eligible_cost,
            other_cost,
            life_years: self.life_years,
            age_years: self.age_years,
            replacement_cost: self.replacement,
            escalation: self.rise,
            residual: self
                .residual
                .map_or(Residual::StraightLine, Residual::Stated),
        }
    }
}

impl Money {
    /// First costs that a grant may pay.
    pub fn eligible_cost(&self) -> f64 {
        let eligible = self.parts.iter().filter(|part| part.is_eligible);
        // The sum of no numbers is -0, which would be shown.
        eligible
            .map(|part| part.cost)
            .fold(0.0, |sum, cost| sum + cost)
    }

    /// All first costs less the grant.
    pub fn first_cost(&self) -> f64 {
        let all: f64 = self.parts.iter().map(|part| part.cost).sum();
        all - self.grant
    }

    /// The loan as the arithmetic takes it.
    pub(crate) fn loan(&self) -> Option<Loan> {
        self.loan.map(|loan| Loan {
            principal: loan.sum,
            rate: loan.rate,
            years: loan.years,
        })
    }
}
