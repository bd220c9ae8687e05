//! Points that the rural energy grants of the United States give an energy efficiency improvement.
//!
//! The rule holds prices and use at what they were over the same 12 to 60 months of bills, counts
//! neither tax nor carbon credits, and wants its figures validated and signed by an assessor: what
//! comes out here prepares an application. Up to 5 further points for the environment are given on a
//! narrative and not computed.
//!
//! # References
//! - [`RULE`], sections 4280.103, 4280.119 and 4280.120 and appendix A, in a copy with amendments to
//!   2018 (seen). See [`CAUTION`].

use crate::check;
use crate::error::EconomicsError;

#[cfg(test)]
mod tests;

/// The rule.
pub const RULE: &str = "7 CFR part 4280 subpart B (Rural Energy for America Program)";

/// What has to stand beside every figure made by these bands.
pub const CAUTION: &str = "The points follow a copy of 7 CFR part 4280 subpart B with amendments to \
     2018. The rule was revised in 2021 (86 FR 22304) and its sections moved: check the current text, \
     the funding window and the share a grant may pay before relying on them. Estimates, to be \
     reviewed and signed by a qualified assessor; not an energy audit.";

/// What rounding may take off a share or a number of years that stands on the edge of a band: 600 of 3,000
/// are 20 %, and 1 - 2400 / 3000 a hair less.
const ROUNDING: f64 = 1e-9;
/// Btu saved a year for each dollar of grant that earn the most points.
const BTU_PER_DOLLAR_FOR_ALL_POINTS: f64 = 50_000.0;
const MOST_BTU_POINTS: f64 = 10.0;

/// Share of the baseline's energy that is saved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SavedBand {
    /// Below 20 %.
    Below20,
    /// 20 to below 35 %.
    From20,
    /// 35 to below 50 %.
    From35,
    /// 50 % and more.
    From50,
}

/// Simple payback of the eligible costs by the energy saved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PaybackBand {
    /// Below 4 years.
    Below4,
    /// 4 to below 8 years.
    From4,
    /// 8 to 12 years.
    From8,
    /// Above 12 years, or never.
    Above12,
}

/// How many of a number of draws fall into a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShareOfDraws<B> {
    /// The band.
    pub band: B,
    /// Draws in it.
    pub draws: usize,
    /// Those over all draws.
    pub share: f64,
}

impl SavedBand {
    /// All bands, lowest saving first.
    pub const ALL: [Self; 4] = [Self::Below20, Self::From20, Self::From35, Self::From50];

    /// The band of a saved share, 0.2 for 20 %; negative shares are more use than before.
    ///
    /// ```
    /// use overwinter_economics::rural_energy::SavedBand;
    /// // The rule: 20 to below 35 % earn 5 points, 35 to below 50 % earn 10.
    /// assert_eq!(SavedBand::of(0.349).unwrap().points(), 5);
    /// assert_eq!(SavedBand::of(0.35).unwrap().points(), 10);
    /// ```
    ///
    /// # Errors
    /// A share above 1 or not a number.
    pub fn of(saved_share: f64) -> Result<Self, EconomicsError> {
        let saved_share = check::between(
            "share of energy saved",
            saved_share,
            -check::MOST_AMOUNT,
            1.0,
        )?;
        Ok(match saved_share {
            share if share < 0.20 - ROUNDING => Self::Below20,
            share if share < 0.35 - ROUNDING => Self::From20,
            share if share < 0.50 - ROUNDING => Self::From35,
            _ => Self::From50,
        })
    }

    /// Points of the rule.
    pub fn points(self) -> u32 {
        match self {
            Self::Below20 => 0,
            Self::From20 => 5,
            Self::From35 => 10,
            Self::From50 => 15,
        }
    }

    /// Its limits in words.
    pub fn label(self) -> &'static str {
        match self {
            Self::Below20 => "below 20 %",
            Self::From20 => "20 to below 35 %",
            Self::From35 => "35 to below 50 %",
            Self::From50 => "50 % and more",
        }
    }

    /// How many draws fall into each band.
    ///
    /// # Errors
    /// No draws, or a share above 1 or not a number.
    pub fn shares_of_draws(
        saved_shares: &[f64],
    ) -> Result<[ShareOfDraws<Self>; 4], EconomicsError> {
        let bands: Result<Vec<Self>, _> =
            saved_shares.iter().map(|share| Self::of(*share)).collect();
        shares_of_draws(Self::ALL, &bands?)
    }
}

impl PaybackBand {
    /// All bands, shortest payback first.
    pub const ALL: [Self; 4] = [Self::Below4, Self::From4, Self::From8, Self::Above12];

    /// The band of a payback in years, as [`simple_payback_years`] gives it.
    ///
    /// # Errors
    /// Years that are negative or not a number.
    pub fn of(payback_years: Option<f64>) -> Result<Self, EconomicsError> {
        let Some(years) = payback_years else {
            return Ok(Self::Above12);
        };
        Ok(
            match check::between("simple payback in years", years, 0.0, check::MOST_AMOUNT)? {
                years if years < 4.0 - ROUNDING => Self::Below4,
                years if years < 8.0 - ROUNDING => Self::From4,
                years if years <= 12.0 + ROUNDING => Self::From8,
                _ => Self::Above12,
            },
        )
    }

    /// Points of the rule.
    pub fn points(self) -> u32 {
        match self {
            Self::Below4 => 15,
            Self::From4 => 10,
            Self::From8 => 5,
            Self::Above12 => 0,
        }
    }

    /// Its limits in words.
    pub fn label(self) -> &'static str {
        match self {
            Self::Below4 => "below 4 years",
            Self::From4 => "4 to below 8 years",
            Self::From8 => "8 to 12 years",
            Self::Above12 => "above 12 years",
        }
    }

    /// How many draws fall into each band.
    ///
    /// # Errors
    /// No draws, or years that are negative or not a number.
    pub fn shares_of_draws(
        payback_years: &[Option<f64>],
    ) -> Result<[ShareOfDraws<Self>; 4], EconomicsError> {
        let bands: Result<Vec<Self>, _> =
            payback_years.iter().map(|years| Self::of(*years)).collect();
        shares_of_draws(Self::ALL, &bands?)
    }
}

/// Simple payback as the rule has it: eligible costs over the money that the energy saved costs a year,
/// at the average price paid over the time of the bills, without escalation. `None` if none is saved.
///
/// For two plans: `Plan::eligible_cost` of the improved one, and the difference of their
/// `Plan::energy_cost_year`.
///
/// # Errors
/// Negative costs, or a sum that is not a number.
pub fn simple_payback_years(
    eligible_cost: f64,
    energy_cost_saved_year: f64,
) -> Result<Option<f64>, EconomicsError> {
    let cost = check::amount("eligible cost", eligible_cost)?;
    let saved = check::gain_or_loss("cost of energy saved a year", energy_cost_saved_year)?;
    let years = cost / saved;
    Ok((saved > 0.0 && years.is_finite()).then_some(years))
}

/// Btu saved a year for each dollar of grant; negative if more is used.
///
/// ```
/// use overwinter_economics::rural_energy::{btu_per_grant_dollar, btu_per_grant_dollar_points};
/// // Worked example of the rule: 125.555 to 100 million Btu with 1,500 dollars.
/// let btu = btu_per_grant_dollar(125.555, 100.0, 1500.0).unwrap();
/// assert!((btu - 17_037.0).abs() < 0.5);
/// assert!((btu_per_grant_dollar_points(btu).unwrap() - 3.41).abs() < 0.005);
/// ```
///
/// # Errors
/// Negative energies, or a grant below one dollar.
pub fn btu_per_grant_dollar(
    baseline_mmbtu_year: f64,
    improved_mmbtu_year: f64,
    grant_usd: f64,
) -> Result<f64, EconomicsError> {
    let baseline = check::amount("baseline in million Btu", baseline_mmbtu_year)?;
    let improved = check::amount("improved use in million Btu", improved_mmbtu_year)?;
    let grant_usd = check::between("grant in dollars", grant_usd, 1.0, 1e15)?;
    Ok((baseline - improved) * 1e6 / grant_usd)
}

/// Points for Btu saved a year for each dollar of grant: in proportion up to 10 at 50,000, none if more
/// is used.
///
/// # Errors
/// A value that is not a number.
pub fn btu_per_grant_dollar_points(btu_per_dollar: f64) -> Result<f64, EconomicsError> {
    let btu = check::between(
        "Btu a grant dollar",
        btu_per_dollar,
        -check::MOST_AMOUNT,
        check::MOST_AMOUNT,
    )?;
    Ok(MOST_BTU_POINTS * (btu / BTU_PER_DOLLAR_FOR_ALL_POINTS).clamp(0.0, 1.0))
}

fn shares_of_draws<B: Copy + PartialEq>(
    all: [B; 4],
    drawn: &[B],
) -> Result<[ShareOfDraws<B>; 4], EconomicsError> {
    if drawn.is_empty() {
        return Err(EconomicsError::NoDraws);
    }
    Ok(all.map(|band| {
        let draws = drawn.iter().filter(|found| **found == band).count();
        ShareOfDraws {
            band,
            draws,
            share: draws as f64 / drawn.len() as f64,
        }
    }))
}
