//! Energy, amounts, cost and greenhouse gases, carrier by carrier and of all.

use overwinter_economics::emissions::POTENTIALS;
use overwinter_economics::rural_energy::SavedBand;
use overwinter_economics::{Emissions, EnergyUse, Plan};

use super::row::{ALL_CARRIERS, SavingsRow, Units, share};
use crate::money::CaseMoney;
use crate::money::paired::{Drawn, Paired};
use crate::tables::units::{J_PER_KWH, ft2, mmbtu};

/// Rows of energy of a design against another.
pub(super) fn rows(paired: &Paired<'_>) -> Vec<SavingsRow> {
    let mut rows = Vec::new();
    for carrier in carriers(paired) {
        let more = [
            energy(paired, Some(&carrier)),
            amount(paired, &carrier),
            cost(paired, Some(&carrier)),
        ];
        let more = more.into_iter().chain(emissions(paired, Some(&carrier)));
        rows.extend(more.flatten().map(|row| row.carrier(&carrier)));
    }
    let all = [energy(paired, None), cost(paired, None)];
    let on_the_whole = [
        energy_per_floor(paired),
        cost_per_floor(paired),
        share_saved(paired),
    ];
    let all = all.into_iter().chain(emissions(paired, None));
    let all = all.chain(on_the_whole).flatten().chain(bands(paired));
    rows.extend(all.map(|row| row.carrier(ALL_CARRIERS)));
    rows
}

/// A measure of what a year's energy gives off.
struct Gas {
    measure: &'static str,
    unit: &'static str,
    kg: fn(&Emissions) -> f64,
    /// True for what only wood gives off: no row where there is none.
    is_of_wood: bool,
}

const GASES: [Gas; 3] = [
    Gas {
        measure: "carbon dioxide",
        unit: "kg",
        kg: |of| of.carbon_dioxide_kg,
        is_of_wood: false,
    },
    Gas {
        measure: "biogenic carbon dioxide",
        unit: "kg",
        kg: |of| of.biogenic_carbon_dioxide_kg,
        is_of_wood: true,
    },
    Gas {
        measure: "greenhouse gases",
        unit: "kg CO2e",
        kg: Emissions::co2e_kg,
        is_of_wood: false,
    },
];

/// Carriers that either design uses, in the order of the one that is compared with.
pub(super) fn carriers(paired: &Paired<'_>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for drawn in &paired.draws {
        for money in [drawn.base, drawn.design] {
            for (carrier, energy_j) in money.stated.carriers.iter().zip(&money.energy_j) {
                if *energy_j > 0.0 && !names.contains(&carrier.name) {
                    names.push(carrier.name.clone());
                }
            }
        }
    }
    names
}

/// The uses of a plan that are of a carrier, or all.
fn uses<'p>(plan: &'p Plan, carrier: Option<&'p str>) -> impl Iterator<Item = &'p EnergyUse> {
    let is_of = move |one: &&EnergyUse| carrier.is_none_or(|name| one.carrier == name);
    plan.energy.iter().filter(is_of)
}

/// A sum over the uses of both, that of the one compared with first.
pub(super) fn both(
    drawn: &Drawn<'_>,
    carrier: Option<&str>,
    of: impl Fn(&EnergyUse) -> f64,
) -> [f64; 2] {
    [drawn.base, drawn.design].map(|money| uses(&money.plan("", None), carrier).map(&of).sum())
}

fn energy(paired: &Paired<'_>, carrier: Option<&str>) -> Option<SavingsRow> {
    let units = Units::twins("kWh", "MMBtu", mmbtu(J_PER_KWH));
    SavingsRow::saved(paired, "energy", units, |drawn| {
        Some(both(drawn, carrier, |one| one.energy_kwh_year))
    })
}

fn amount(paired: &Paired<'_>, carrier: &str) -> Option<SavingsRow> {
    let of = |money: &CaseMoney| {
        let mut carriers = money.stated.carriers.iter();
        let found = carriers.find(|one| one.name == carrier);
        found.map(|one| one.unit.clone())
    };
    let first = paired.draws.first()?;
    let unit = of(first.base).or_else(|| of(first.design))?;
    SavingsRow::saved(paired, "amount", Units::same(&unit), |drawn| {
        Some(both(drawn, Some(carrier), |one| one.amount_year))
    })
}

fn cost(paired: &Paired<'_>, carrier: Option<&str>) -> Option<SavingsRow> {
    let units = Units::same(&currency(paired)?);
    SavingsRow::saved(paired, "energy cost", units, |drawn| {
        Some(both(drawn, carrier, |one| one.amount_year * one.price))
    })
}

/// What the energy gives off, gas by gas; rows without numbers where the factor of a carrier in use is
/// not known.
fn emissions(paired: &Paired<'_>, carrier: Option<&str>) -> [Option<SavingsRow>; 3] {
    let unknown = without_factor(paired, carrier);
    if unknown.is_empty() {
        return GASES.map(|gas| given_off(paired, carrier, &gas));
    }
    let keys = unknown
        .iter()
        .map(|name| format!("fuels.{}.carbon_dioxide", name.replace(' ', "_")));
    let keys = keys.collect::<Vec<_>>().join(", ");
    let note = format!("not known until {keys} is given: it depends on the place");
    GASES.map(|gas| {
        (!gas.is_of_wood).then(|| SavingsRow {
            units: Units::same(gas.unit),
            note: Some(note.as_str().into()),
            ..SavingsRow::blank(paired, gas.measure)
        })
    })
}

fn given_off(paired: &Paired<'_>, carrier: Option<&str>, gas: &Gas) -> Option<SavingsRow> {
    let row = SavingsRow::saved(paired, gas.measure, Units::same(gas.unit), |drawn| {
        let plans = [drawn.base, drawn.design].map(|money| money.plan("", None));
        let kg = |plan: &Plan| {
            let used = uses(plan, carrier).filter(|one| one.energy_kwh_year > 0.0);
            used.map(|one| Some((gas.kg)(&one.emissions_year?)))
                .sum::<Option<f64>>()
        };
        Some([kg(&plans[0])?, kg(&plans[1])?])
    })?;
    let is_nothing = row.against_median == Some(0.0) && row.design_median == Some(0.0);
    (!gas.is_of_wood || !is_nothing).then(|| SavingsRow {
        note: Some(factors(paired, carrier).into()),
        ..row
    })
}

/// Carriers in use of which it is not known what they give off.
fn without_factor(paired: &Paired<'_>, carrier: Option<&str>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    let houses = paired
        .draws
        .iter()
        .flat_map(|drawn| [drawn.base, drawn.design]);
    for money in houses {
        let plan = money.plan("", None);
        for one in uses(&plan, carrier) {
            let is_unknown = one.energy_kwh_year > 0.0 && one.emissions_year.is_none();
            if is_unknown && !names.contains(&one.carrier) {
                names.push(one.carrier.clone());
            }
        }
    }
    names
}

/// How gases are added up and where their factors come from, carrier by carrier.
fn factors(paired: &Paired<'_>, carrier: Option<&str>) -> String {
    let mut told: Vec<String> = Vec::new();
    let houses = paired.draws.first().map(|drawn| [drawn.base, drawn.design]);
    let carriers = houses
        .into_iter()
        .flatten()
        .flat_map(|money| &money.stated.carriers);
    for of in carriers.filter(|of| carrier.is_none_or(|name| name == of.name)) {
        let Some(factors) = of.emission_factors else {
            continue;
        };
        let is_whole = factors.methane_kg_j.is_some() && factors.nitrous_oxide_kg_j.is_some();
        let rest = if is_whole {
            ""
        } else {
            "; methane and nitrous oxide only as far as its carbon dioxide is given with them"
        };
        let words = format!("{}: {}{rest}", of.name, of.factor_sources.join("; "));
        if !told.contains(&words) {
            told.push(words);
        }
    }
    format!("{POTENTIALS}. Factors of {}", told.join(". Of "))
}

fn energy_per_floor(paired: &Paired<'_>) -> Option<SavingsRow> {
    // 1 kWh/m2 in kBtu/ft2.
    let units = Units::twins("kWh/m2", "kBtu/ft2", 1e3 * mmbtu(J_PER_KWH) / ft2(1.0));
    SavingsRow::saved(paired, "energy per floor area", units, |drawn| {
        let kwh = both(drawn, None, |one| one.energy_kwh_year);
        Some(per_floor(drawn, kwh))
    })
}

fn cost_per_floor(paired: &Paired<'_>) -> Option<SavingsRow> {
    let currency = currency(paired)?;
    let [si, us] = ["m2", "ft2"].map(|area| format!("{currency}/{area}"));
    let units = Units::twins(&si, &us, 1.0 / ft2(1.0));
    SavingsRow::saved(paired, "energy cost per floor area", units, |drawn| {
        let cost = both(drawn, None, |one| one.amount_year * one.price);
        Some(per_floor(drawn, cost))
    })
}

fn per_floor(drawn: &Drawn<'_>, [base, design]: [f64; 2]) -> [f64; 2] {
    [
        base / drawn.base.floor_area_m2,
        design / drawn.design.floor_area_m2,
    ]
}

/// The share of the energy at the site that is saved, with the band of its median.
fn share_saved(paired: &Paired<'_>) -> Option<SavingsRow> {
    let saved = |drawn: &Drawn<'_>| Some(drawn.comparison.energy_saved_share? * 100.0);
    let row = SavingsRow::where_there(paired, "site energy saved", Units::same("%"), saved);
    let band = SavedBand::of(row.median? / 100.0).ok()?;
    Some(SavingsRow {
        band: Some(band.label()),
        points: Some(f64::from(band.points())),
        ..row
    })
}

/// How many of the draws fall in each band.
fn bands(paired: &Paired<'_>) -> Vec<SavingsRow> {
    let shares: Option<Vec<f64>> = paired
        .draws
        .iter()
        .map(|drawn| drawn.comparison.energy_saved_share)
        .collect();
    let found = shares.and_then(|shares| SavedBand::shares_of_draws(&shares).ok());
    let several = found.filter(|_| paired.draws.len() >= 2);
    let row = |of: overwinter_economics::rural_energy::ShareOfDraws<SavedBand>| SavingsRow {
        band: Some(of.band.label()),
        points: Some(f64::from(of.band.points())),
        share_of_draws: Some(share(of.draws, paired)),
        ..SavingsRow::blank(paired, "draws by energy saved")
    };
    several.into_iter().flatten().map(row).collect()
}

/// Currency of all draws.
pub(super) fn currency(paired: &Paired<'_>) -> Option<String> {
    let first = paired.draws.first()?;
    Some(first.design.stated.currency.clone())
}
