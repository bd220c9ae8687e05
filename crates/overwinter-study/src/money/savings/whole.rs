//! What a design costs more, saves over the years, and when it has paid for itself.

use overwinter_economics::rural_energy::{self, PaybackBand, ShareOfDraws};
use overwinter_economics::{Payback, RateOfReturn};

use super::by_carrier::{both, carriers, currency};
use super::row::{SavingsRow, Units, share};
use crate::money::CaseMoney;
use crate::money::paired::{Drawn, Paired};
use crate::tables::units::{J_PER_KWH, kwh, mmbtu};

/// Rows of money of a design against another.
pub(super) fn rows(paired: &Paired<'_>) -> Vec<SavingsRow> {
    let Some(currency) = currency(paired) else {
        return Vec::new();
    };
    let mut rows: Vec<SavingsRow> = sums(paired, &currency).into_iter().flatten().collect();
    rows.extend(lacking_heat(paired));
    rows.extend(rates(paired));
    rows.push(payback(paired, "simple payback", |of| {
        of.comparison.simple_payback
    }));
    rows.push(payback(paired, "discounted payback", |of| {
        of.comparison.discounted_payback
    }));
    rows.extend(of_the_grant_rule(paired, &currency));
    rows.extend(short_lives(paired));
    rows.extend(break_even(paired, &currency));
    let covered = |drawn: &Drawn<'_>| drawn.comparison.debt_service_coverage();
    if paired.draws.iter().any(|drawn| covered(drawn).is_some()) {
        let units = Units::same("ratio");
        rows.push(SavingsRow::where_there(
            paired,
            "loan coverage",
            units,
            covered,
        ));
    }
    rows
}

/// Heat that the house of the design lacked more than the other's; what it saves by that is no saving.
fn lacking_heat(paired: &Paired<'_>) -> Option<SavingsRow> {
    let units = Units::twins("kWh", "MMBtu", mmbtu(J_PER_KWH));
    let row = SavingsRow::extra(paired, "heat lacking", units, |drawn| {
        Some([drawn.base, drawn.design].map(|money| kwh(money.unmet_j)))
    })?;
    let saved_kwh = SavingsRow::saved(paired, "energy", Units::default(), |drawn| {
        Some(both(drawn, None, |one| one.energy_kwh_year))
    })?;
    let matters =
        |extra_kwh: f64| extra_kwh > LACKING_SHARE * saved_kwh.median.unwrap_or(0.0).abs();
    let is_told = row
        .median
        .is_some_and(|extra_kwh| extra_kwh > 0.0 && matters(extra_kwh));
    Some(SavingsRow {
        note: is_told.then(|| LACKING.into()),
        ..row
    })
}

/// Share of the energy saved above which heat that was lacking is told beside it.
const LACKING_SHARE: f64 = 0.01;
const LACKING: &str = "the heater is too small for this design: part of what is saved is heat that the house \
     did not get";

fn sums(paired: &Paired<'_>, currency: &str) -> [Option<SavingsRow>; 5] {
    let units = || Units::same(currency);
    let extra = SavingsRow::extra(paired, "extra first cost", units(), |drawn| {
        Some([drawn.base, drawn.design].map(|money| money.stated.first_cost()))
    });
    let year_1 = SavingsRow::one(paired, "saved in year 1", units(), |drawn| {
        drawn
            .comparison
            .rows
            .get(1)
            .map_or(f64::NAN, |row| row.running)
    });
    let light = |drawn: &Drawn<'_>| drawn.design.light_value_against(drawn.base);
    let has_light = paired.draws.iter().all(|drawn| light(drawn).is_some());
    let light = has_light.then(|| {
        SavingsRow::one(paired, "value of light", units(), |drawn| {
            light(drawn).unwrap_or(f64::NAN)
        })
    });
    let net = SavingsRow::saved(paired, "net saving", units(), |drawn| {
        let of = &drawn.comparison;
        Some([of.base.whole_cost(), of.alternative.whole_cost()])
    });
    let left = SavingsRow::extra(paired, "value left in net saving", units(), |drawn| {
        let of = &drawn.comparison;
        Some([of.base.residual, of.alternative.residual])
    });
    [extra, year_1, light.flatten(), net, left]
}

const NO_RETURN: &str = "less comes back than any rate could make good";
const NO_INVESTMENT: &str = "nothing more is spent on the day of buying";

/// Ratio and rates of return. A draw without one ranks by whether it gains: above the others if nothing
/// more is spent and yet it gains, below them if nothing comes back.
fn rates(paired: &Paired<'_>) -> [SavingsRow; 3] {
    let percent = || Units::same("% a year");
    let ratio = SavingsRow::where_there(
        paired,
        "saving-to-investment ratio",
        Units::same("ratio"),
        |drawn| {
            Some(
                drawn
                    .comparison
                    .saving_to_investment
                    .unwrap_or(beyond(drawn)),
            )
        },
    );
    let adjusted = SavingsRow::where_there(paired, "adjusted rate of return", percent(), |drawn| {
        let of = &drawn.comparison;
        Some(
            match (of.adjusted_rate_of_return, of.saving_to_investment) {
                (Some(rate), _) => rate * 100.0,
                (None, Some(_)) => f64::NEG_INFINITY,
                (None, None) => beyond(drawn),
            },
        )
    });
    [
        noted(paired, ratio),
        noted(paired, adjusted),
        internal_rate(paired),
    ]
}

/// The internal rate; none is told where more than one would fit some draw.
fn internal_rate(paired: &Paired<'_>) -> SavingsRow {
    let units = Units::same("% a year");
    let measure = "internal rate of return";
    let rate = |drawn: &Drawn<'_>| drawn.comparison.rate_of_return;
    let is_ambiguous = |drawn: &&Drawn<'_>| rate(drawn) == RateOfReturn::Ambiguous;
    let ambiguous = paired.draws.iter().filter(is_ambiguous).count();
    if ambiguous > 0 {
        let note = match paired.draws.len() {
            1 => "more than one rate would fit, so none is told".to_owned(),
            draws => format!(
                "more than one rate would fit {ambiguous} of {draws} draws, so none is told"
            ),
        };
        return SavingsRow {
            units,
            note: Some(note.into()),
            ..SavingsRow::blank(paired, measure)
        };
    }
    let row = SavingsRow::where_there(paired, measure, units, |drawn| {
        Some(match rate(drawn) {
            RateOfReturn::Rate(rate) => rate * 100.0,
            RateOfReturn::NoInvestment => beyond(drawn),
            RateOfReturn::NoReturn | RateOfReturn::Ambiguous => f64::NEG_INFINITY,
        })
    });
    noted(paired, row)
}

/// Where a draw ranks in which nothing more is invested.
fn beyond(drawn: &Drawn<'_>) -> f64 {
    match drawn.comparison.net_saving > 0.0 {
        true => f64::INFINITY,
        false => f64::NEG_INFINITY,
    }
}

/// A row that says why it has no value, if it has none.
fn noted(paired: &Paired<'_>, row: SavingsRow) -> SavingsRow {
    if row.median.is_some() {
        return row;
    }
    let is_cheaper = paired
        .middle()
        .is_some_and(|drawn| drawn.comparison.extra_investment <= 0.0);
    let note = if is_cheaper { NO_INVESTMENT } else { NO_RETURN };
    SavingsRow {
        note: Some(note.into()),
        ..row
    }
}

/// Years until the money has come back; a draw in which it does not counts as longer than all others.
fn payback(
    paired: &Paired<'_>,
    measure: &'static str,
    of: impl Fn(&Drawn<'_>) -> Payback,
) -> SavingsRow {
    let years = |drawn: &Drawn<'_>| of(drawn).years();
    let row = SavingsRow::one(paired, measure, Units::same("years"), |drawn| {
        years(drawn).unwrap_or(f64::INFINITY)
    });
    let count = |is: &dyn Fn(Payback) -> bool| {
        let draws = paired.draws.iter();
        share(draws.filter(|drawn| is(of(drawn))).count(), paired)
    };
    let holds = |payback: Payback| {
        matches!(
            payback,
            Payback::AtOnce { holds: true } | Payback::After { holds: true, .. }
        )
    };
    let median = row
        .as_ref()
        .and_then(|row| row.median)
        .filter(|years| years.is_finite());
    let period = paired
        .draws
        .first()
        .map_or(0, |drawn| drawn.design.stated.terms.years);
    let note = match (median, paired.middle().map(&of)) {
        (None, Some(Payback::NoSaving)) => {
            Some("never: nothing is saved over the years".to_owned())
        }
        (None, _) => Some(format!("not within {period} years")),
        (Some(_), Some(Payback::AtOnce { .. })) => Some("costs no more to begin with".to_owned()),
        _ => None,
    };
    SavingsRow {
        median,
        reached_share: Some(count(&|payback| payback.years().is_some())),
        holds_share: Some(count(&holds)),
        note: note.map(Into::into),
        ..row.unwrap_or_else(|| SavingsRow::blank(paired, measure))
    }
}

/// Payback and energy a dollar as the rural energy grant counts them; nothing where no part is
/// eligible.
fn of_the_grant_rule(paired: &Paired<'_>, currency: &str) -> Vec<SavingsRow> {
    let eligible = |drawn: &Drawn<'_>| drawn.design.stated.eligible_cost();
    if paired.draws.iter().all(|drawn| eligible(drawn) <= 0.0) {
        return Vec::new();
    }
    let years = |drawn: &Drawn<'_>| -> Option<f64> {
        let [base, design] = [drawn.base, drawn.design].map(|money| {
            let plan = money.plan("", None);
            let cost = plan.energy.iter().map(|one| one.amount_year * one.price);
            cost.sum::<f64>()
        });
        rural_energy::simple_payback_years(eligible(drawn), base - design).ok()?
    };
    let all: Vec<Option<f64>> = paired.draws.iter().map(years).collect();
    let row = SavingsRow::one(
        paired,
        "payback of eligible costs",
        Units::same("years"),
        |drawn| years(drawn).unwrap_or(f64::INFINITY),
    );
    let median = row
        .as_ref()
        .and_then(|row| row.median)
        .filter(|years| years.is_finite());
    let band = PaybackBand::of(median).ok();
    let mut rows: Vec<SavingsRow> = row
        .map(|row| SavingsRow {
            median,
            reached_share: Some(share(all.iter().flatten().count(), paired)),
            band: band.map(PaybackBand::label),
            points: band.map(|band| f64::from(band.points())),
            note: Some(match median {
                Some(_) => format!(
                    "{}; eligible costs over energy cost saved",
                    rural_energy::RULE
                )
                .into(),
                None => "never: the energy costs no less".into(),
            }),
            ..row
        })
        .into_iter()
        .collect();
    let shares = PaybackBand::shares_of_draws(&all).ok();
    let several = shares.filter(|_| paired.draws.len() >= 2);
    let drawn = |of: ShareOfDraws<PaybackBand>| SavingsRow {
        band: Some(of.band.label()),
        points: Some(f64::from(of.band.points())),
        share_of_draws: Some(of.share),
        ..SavingsRow::blank(paired, "draws by payback")
    };
    rows.extend(several.into_iter().flatten().map(drawn));
    rows.extend(per_grant_dollar(paired, currency));
    rows
}

/// Energy saved a year for a dollar of the grant; the rule is in dollars.
fn per_grant_dollar(paired: &Paired<'_>, currency: &str) -> Option<SavingsRow> {
    let of = |drawn: &Drawn<'_>| {
        let [base, design] = [drawn.base, drawn.design].map(|money| {
            let kwh = money.plan("", None).energy_kwh_year();
            mmbtu(kwh * J_PER_KWH)
        });
        rural_energy::btu_per_grant_dollar(base, design, drawn.design.stated.grant).ok()
    };
    if currency != "USD" || paired.draws.iter().any(|drawn| of(drawn).is_none()) {
        return None;
    }
    let units = Units::same("Btu/USD");
    let row = SavingsRow::where_there(paired, "energy saved per grant dollar", units, of);
    let points = rural_energy::btu_per_grant_dollar_points(row.median?).ok();
    Some(SavingsRow { points, ..row })
}

/// Parts that wear out before they have paid for themselves, each with the share of draws in which.
fn short_lives(paired: &Paired<'_>) -> Vec<SavingsRow> {
    let mut parts: Vec<(&str, u32, usize)> = Vec::new();
    for part in paired
        .draws
        .iter()
        .flat_map(|drawn| &drawn.comparison.outlived_parts)
    {
        match parts.iter_mut().find(|(name, ..)| *name == part.part) {
            Some((.., count)) => *count += 1,
            None => parts.push((&part.part, part.life_years, 1)),
        }
    }
    let row = |(name, life_years, count): (&str, u32, usize)| SavingsRow {
        units: Units::same("years"),
        median: Some(f64::from(life_years)),
        share_of_draws: Some(share(count, paired)),
        note: Some(name.into()),
        ..SavingsRow::blank(paired, "life shorter than payback")
    };
    parts.into_iter().map(row).collect()
}

/// Prices at which the net saving is nothing, of the carriers whose price matters.
fn break_even(paired: &Paired<'_>, currency: &str) -> Vec<SavingsRow> {
    let carriers = carriers(paired);
    let rows = carriers
        .iter()
        .map(|name| even_price(paired, name, currency));
    rows.flatten().collect()
}

fn even_price(paired: &Paired<'_>, name: &str, currency: &str) -> Option<SavingsRow> {
    let of = |money: &'_ CaseMoney| {
        let mut carriers = money.stated.carriers.iter();
        carriers.find(|one| one.name == name).cloned()
    };
    let carrier = |drawn: &Drawn<'_>| of(drawn.design).or_else(|| of(drawn.base));
    let times = |drawn: &Drawn<'_>| drawn.comparison.break_even_price_times(name);
    let unit = paired.draws.iter().find_map(carrier)?.unit;
    if paired.draws.iter().all(|drawn| times(drawn).is_none()) {
        return None;
    }
    let units = Units::same(&format!("{currency}/{unit}"));
    let row = SavingsRow::where_there(paired, "break-even price", units, |drawn| {
        let times = times(drawn)?;
        Some(match times < 0.0 {
            true => f64::NEG_INFINITY,
            false => times * carrier(drawn)?.price,
        })
    });
    let middle = paired.middle()?;
    let [base_kwh, design_kwh] = both(middle, Some(name), |one| one.energy_kwh_year);
    let note = match (row.median, middle.comparison.net_saving > 0.0) {
        (None, true) => "none: it gains whatever that costs",
        (None, false) => "none: it loses even if that is free",
        (Some(_), _) if design_kwh > base_kwh => "it gains below that price",
        (Some(_), _) => "it gains above that price",
    };
    Some(SavingsRow {
        note: Some(note.into()),
        ..row.carrier(name)
    })
}
