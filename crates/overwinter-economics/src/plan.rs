//! One design as the money sees it: what is bought, used, kept up and borrowed.
//!
//! All sums are in one currency, at the prices of year 0. Escalations are real: by how much a price
//! rises a year beyond general inflation, 0 for one that keeps pace with it.

use crate::check;
use crate::emissions::Emissions;
use crate::error::EconomicsError;
use crate::loan::Loan;
use crate::terms::grown;

/// Share by which a sum of costs may be off.
const ROUNDING: f64 = 1e-12;

/// A design.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// What it is called.
    pub name: String,
    /// What it is made of, where that costs something.
    pub parts: Vec<Part>,
    /// Grant paid out in year 0, at most the eligible first costs.
    pub grant: f64,
    /// What it uses, fuel and electricity alike.
    pub energy: Vec<EnergyUse>,
    /// Upkeep and repairs a year.
    pub upkeep_year: f64,
    /// Real escalation of upkeep a year.
    pub upkeep_escalation: f64,
    /// Yield gained (positive) or lost (negative) a year by more or less light; `None` where nobody has
    /// stated what light is worth.
    pub light_value_year: Option<f64>,
    /// What is borrowed for it.
    pub loan: Option<Loan>,
}

/// A part that is bought, wears out and is bought again: film, sheet, heater, blower.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What it is called.
    pub name: String,
    /// What of its first cost a grant office or lender accepts.
    pub eligible_cost: f64,
    /// The rest of its first cost.
    pub other_cost: f64,
    /// Years it lasts. It is replaced at the end of each life but not at the end of the study period.
    pub life_years: u32,
    /// Its age in year 0: 0 for what is bought new, less than its life for what is in place.
    pub age_years: u32,
    /// What one replacement costs.
    pub replacement_cost: f64,
    /// Real escalation of that cost a year.
    pub escalation: f64,
    /// What it is worth at the end of the study period.
    pub residual: Residual,
}

/// What a part is worth at the end of the study period.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Residual {
    /// The share of its life that is left, times what it last cost: the first cost of a part bought in
    /// year 0, else that of its last replacement, in money of year 0. What was in place in year 0 and
    /// still is counts at the cost of a replacement.
    #[default]
    StraightLine,
    /// A sum, in money of year 0.
    Stated(f64),
}

/// A year's use of one carrier of energy, in the unit it is bought in.
#[derive(Clone, Debug, PartialEq)]
pub struct EnergyUse {
    /// What it is called: a fuel, or electricity.
    pub carrier: String,
    /// The unit it is bought in.
    pub unit: String,
    /// Units a year.
    pub amount_year: f64,
    /// Price of one unit.
    pub price: f64,
    /// Real escalation of the price a year.
    pub escalation: f64,
    /// The energy of a year's use, kWh.
    pub energy_kwh_year: f64,
    /// What a year's use gives off; `None` where no factor is known, as for electricity unless the user
    /// states one.
    pub emissions_year: Option<Emissions>,
}

impl Part {
    /// Eligible and other first cost together.
    pub fn first_cost(&self) -> f64 {
        self.eligible_cost + self.other_cost
    }

    /// The years at whose ends it is replaced, in a study period of `years`.
    pub fn replacement_years(&self, years: u32) -> impl Iterator<Item = u32> + use<> {
        let life_years = self.life_years.max(1);
        let first = life_years.saturating_sub(self.age_years).max(1);
        (first..years).step_by(life_years as usize)
    }

    /// What it is worth at the end of `years`, in money of year 0.
    pub fn residual_value(&self, years: u32) -> f64 {
        if let Residual::Stated(value) = self.residual {
            return value;
        }
        let (cost, end_age_years) = match self.replacement_years(years).last() {
            Some(year) => {
                let cost = self.replacement_cost * grown(self.escalation, year);
                (cost, years - year)
            }
            None if self.age_years == 0 => (self.first_cost(), years),
            None => (self.replacement_cost, years.saturating_add(self.age_years)),
        };
        let left_years = self.life_years.saturating_sub(end_age_years);
        cost * f64::from(left_years) / f64::from(self.life_years.max(1))
    }

    fn check(&self) -> Result<(), EconomicsError> {
        let name = &self.name;
        check::amount(&format!("{name}, eligible cost"), self.eligible_cost)?;
        check::amount(&format!("{name}, other cost"), self.other_cost)?;
        check::amount(&format!("{name}, replacement cost"), self.replacement_cost)?;
        check::rate(&format!("{name}, escalation"), self.escalation)?;
        check::years(&format!("{name}, life"), self.life_years)?;
        if let Residual::Stated(value) = self.residual {
            check::gain_or_loss(&format!("{name}, residual value"), value)?;
        }
        if self.age_years < self.life_years {
            return Ok(());
        }
        Err(EconomicsError::PastItsLife {
            part: name.clone(),
            age_years: self.age_years,
            life_years: self.life_years,
        })
    }
}

impl EnergyUse {
    /// What a year's use costs at the price of year 0.
    pub fn cost_year(&self) -> f64 {
        self.amount_year * self.price
    }

    fn check(&self) -> Result<(), EconomicsError> {
        let carrier = &self.carrier;
        check::amount(&format!("{carrier}, amount a year"), self.amount_year)?;
        check::amount(&format!("{carrier}, price"), self.price)?;
        check::amount(&format!("{carrier}, cost a year"), self.cost_year())?;
        check::rate(&format!("{carrier}, escalation"), self.escalation)?;
        check::amount(&format!("{carrier}, energy in kWh"), self.energy_kwh_year)?;
        for (gas, kg) in self.emissions_year.unwrap_or_default().parts() {
            check::amount(&format!("{carrier}, {gas} in kg"), kg)?;
        }
        Ok(())
    }
}

impl Plan {
    /// Eligible first costs of all parts.
    pub fn eligible_cost(&self) -> f64 {
        self.parts.iter().map(|part| part.eligible_cost).sum()
    }

    /// Other first costs of all parts.
    pub fn other_cost(&self) -> f64 {
        self.parts.iter().map(|part| part.other_cost).sum()
    }

    /// What a year's energy costs at the prices of year 0.
    pub fn energy_cost_year(&self) -> f64 {
        self.energy.iter().map(EnergyUse::cost_year).sum()
    }

    /// A year's energy of all carriers, kWh at the site.
    pub fn energy_kwh_year(&self) -> f64 {
        self.energy
            .iter()
            .map(|energy| energy.energy_kwh_year)
            .sum()
    }

    /// What a year of all carriers gives off; `None` if it is not known of one that is used.
    pub fn emissions_year(&self) -> Option<Emissions> {
        let used = self.energy.iter().filter(|energy| energy.amount_year > 0.0);
        used.map(|energy| energy.emissions_year).sum()
    }

    pub(crate) fn check(&self) -> Result<(), EconomicsError> {
        self.parts.iter().try_for_each(Part::check)?;
        self.energy.iter().try_for_each(EnergyUse::check)?;
        check::amount("upkeep", self.upkeep_year)?;
        check::rate("escalation of upkeep", self.upkeep_escalation)?;
        check::gain_or_loss("value of light", self.light_value_year.unwrap_or(0.0))?;
        let grant = check::amount("grant", self.grant)?;
        let eligible_cost = self.eligible_cost();
        // Sums of cents are off in their last bit.
        if grant <= eligible_cost * (1.0 + ROUNDING) {
            return Ok(());
        }
        Err(EconomicsError::GrantAboveCost {
            grant,
            eligible_cost,
        })
    }
}
