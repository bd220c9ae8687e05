//! What each case costs, item by item: the table `costs`.

use std::sync::Arc;

use overwinter_economics::{CashFlow, Costs, EconomicsError, Plan};

use super::stated::StatedPart;
use super::used::CaseMoney;
use crate::tables::Table;
use crate::tables::column::TableBuilder;

/// A row: a line item of a case.
#[derive(Clone, Debug, PartialEq)]
pub struct CostRow {
    /// Case.
    pub case_id: usize,
    /// What it is.
    pub item_is: ItemIs,
    /// Name of the part or carrier.
    pub item: Option<Arc<str>>,
    /// What it costs; `None` if that cannot be counted.
    pub amounts: Option<Amounts>,
    /// Facts of the part or carrier that it stands on.
    pub of: RowOf,
    /// Why there are no amounts.
    pub note: Option<Arc<str>>,
    /// What the scenario states.
    money: Arc<super::Money>,
}

/// Kinds of line items.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ItemIs {
    /// First cost of a part.
    FirstCost,
    /// Grant.
    Grant,
    /// A part bought again.
    Replacements,
    /// What a part is worth at the end.
    Residual,
    /// A carrier of energy.
    Energy,
    /// Upkeep.
    Upkeep,
    /// All of these.
    LifeCycleCost,
    /// Loan drawn.
    LoanDrawn,
    /// Loan payments.
    LoanPayments,
}

/// An item in money; incomes are negative.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Amounts {
    /// On the day of buying.
    pub year_0: f64,
    /// At the end of year 1.
    pub year_1: f64,
    /// Of all years, undiscounted.
    pub all_years: f64,
    /// Of all years in year 0.
    pub present_value: f64,
}

/// What else is told of an item.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RowOf {
    /// Nothing.
    All,
    /// Of a part, its index.
    Part(usize),
    /// Of a carrier, its index and the units used a year.
    Carrier(usize, f64),
}

impl ItemIs {
    /// Its word in the table.
    pub fn word(self) -> &'static str {
        match self {
            Self::FirstCost => "first cost",
            Self::Grant => "grant",
            Self::Replacements => "replacements",
            Self::Residual => "residual value",
            Self::Energy => "energy",
            Self::Upkeep => "upkeep",
            Self::LifeCycleCost => "life-cycle cost",
            Self::LoanDrawn => "loan drawn",
            Self::LoanPayments => "loan payments",
        }
    }
}

/// The rows of a case; none if it counts no money.
pub(crate) fn rows(case_id: usize, money: Option<&CaseMoney>) -> Vec<CostRow> {
    let Some(money) = money else {
        return Vec::new();
    };
    match items(money) {
        Ok(items) => {
            let row = |item: Item| CostRow {
                case_id,
                item_is: item.is,
                item: item.name,
                amounts: Some(item.amounts),
                of: item.of,
                note: None,
                money: Arc::clone(&money.stated),
            };
            items.into_iter().map(row).collect()
        }
        Err(error) => vec![CostRow {
            case_id,
            item_is: ItemIs::LifeCycleCost,
            item: None,
            amounts: None,
            of: RowOf::All,
            note: Some(Arc::from(error.to_string())),
            money: Arc::clone(&money.stated),
        }],
    }
}

struct Item {
    is: ItemIs,
    name: Option<Arc<str>>,
    amounts: Amounts,
    of: RowOf,
}

/// Line items of a case: all before the life-cycle cost add up to it.
fn items(money: &CaseMoney) -> Result<Vec<Item>, EconomicsError> {
    let whole = Flow::of(money.cash_flow()?);
    let all = |is, of: fn(&Costs) -> f64| Item {
        is,
        name: None,
        amounts: whole.amounts(of),
        of: RowOf::All,
    };
    let parts = money.stated.parts.iter().enumerate();
    let parts: Vec<(usize, &StatedPart, Flow)> = parts
        .map(|(at, part)| Ok((at, part, Flow::of(part_alone(money, part)?))))
        .collect::<Result<_, EconomicsError>>()?;
    let of_parts = |is, of: fn(&Costs) -> f64| {
        parts.iter().map(move |(at, part, flow)| Item {
            is,
            name: Some(Arc::from(part.name.as_str())),
            amounts: flow.amounts(of),
            of: RowOf::Part(*at),
        })
    };
    let carriers = money.stated.carriers.iter().enumerate();
    let energy = carriers.map(|(at, carrier)| Item {
        is: ItemIs::Energy,
        name: Some(Arc::from(carrier.name.as_str())),
        amounts: whole.amounts(|costs| costs.energy.get(at).map_or(0.0, |energy| energy.cost)),
        of: RowOf::Carrier(at, money.amount(at)),
    });
    let stated = &money.stated;
    let mut items: Vec<Item> = of_parts(ItemIs::FirstCost, |costs| {
        costs.eligible_cost + costs.other_cost
    })
    .collect();
    if stated.grant > 0.0 {
        items.push(all(ItemIs::Grant, |costs| -costs.grant));
    }
    items.extend(of_parts(ItemIs::Replacements, |costs| costs.replacements));
    items.extend(of_parts(ItemIs::Residual, |costs| -costs.residual));
    items.extend(energy);
    if stated.upkeep_year > 0.0 {
        items.push(all(ItemIs::Upkeep, |costs| costs.upkeep));
    }
    items.push(all(ItemIs::LifeCycleCost, Costs::whole_cost));
    if stated.loan.is_some() {
        items.push(all(ItemIs::LoanDrawn, |costs| -costs.loan_drawn));
        items.push(all(ItemIs::LoanPayments, |costs| costs.loan_paid));
    }
    Ok(items)
}

/// The years of a part by itself.
fn part_alone(money: &CaseMoney, part: &StatedPart) -> Result<CashFlow, EconomicsError> {
    let plan = Plan {
        parts: vec![part.part()],
        ..Plan::default()
    };
    CashFlow::new(&plan, &money.terms()?)
}

/// Costs year by year, and what they are worth in year 0.
struct Flow {
    years: CashFlow,
    worth: Costs,
}

impl Flow {
    fn of(years: CashFlow) -> Self {
        Self {
            worth: years.present_values(),
            years,
        }
    }

    fn amounts(&self, of: impl Fn(&Costs) -> f64) -> Amounts {
        let rows = self.years.rows();
        let year = |at: usize| rows.get(at).map_or(0.0, |row| of(&row.costs));
        Amounts {
            year_0: year(0),
            year_1: year(1),
            all_years: rows.iter().map(|row| of(&row.costs)).sum(),
            present_value: of(&self.worth),
        }
    }
}

const IN_CURRENCY: &str = "see column currency";

/// The table of all rows.
pub(crate) fn table(rows: &[CostRow]) -> Table {
    let builder = TableBuilder::new(
        "costs",
        "a case and a line item of what it costs over the years; incomes are negative, and all rows \
         of a case before its life-cycle cost add up to that",
        rows.iter(),
    );
    let builder = builder
        .whole("case_id", "number of the case", |row: &CostRow| {
            Some(row.case_id as i64)
        })
        .text(
            "item_is",
            "first cost, replacements and residual value of a part; energy of a carrier; grant; upkeep; \
             life-cycle cost: all of these; loan drawn and loan payments, which stand outside it. The \
             value of light stands in the table savings, since light is worth something against \
             another design alone",
            |row| Some(row.item_is.word()),
        )
        .text(
            "item",
            "name of the part, or carrier of energy; electricity is that of blowers, fans, the heaters' \
             fans and electric heaters together",
            |row| row.item.clone(),
        )
        .text("currency", "currency of the sums", |row| {
            Some(Arc::<str>::from(row.money.currency.as_str()))
        });
    terms_columns(amount_columns(fact_columns(builder)))
        .text("note", "why there are no sums", |row| row.note.clone())
        .finish()
}

type Builder<'a> = TableBuilder<'a, CostRow>;

fn fact_columns(builder: Builder<'_>) -> Builder<'_> {
    let part = |row: &CostRow| match row.of {
        RowOf::Part(at) => row.money.parts.get(at).cloned(),
        _ => None,
    };
    let carrier = |row: &CostRow| match row.of {
        RowOf::Carrier(at, amount) => Some((row.money.carriers.get(at)?.clone(), amount)),
        _ => None,
    };
    let loan = |row: &CostRow| {
        let is_of_loan = row.item_is == ItemIs::LoanPayments;
        row.money.loan().filter(|_| is_of_loan)
    };
    builder
        .text(
            "eligible",
            "of a part: yes if a grant office or lender accepts its first cost, else no",
            move |row| part(row).map(|part| if part.is_eligible { "yes" } else { "no" }),
        )
        .whole(
            "life_years",
            "life of the part; of loan payments, their number",
            move |row| {
                let payments = loan(row).map(|loan| loan.years);
                part(row).map(|part| part.life_years).or(payments).map(i64::from)
            },
        )
        .number(
            "amount_year",
            "see column unit",
            "units of the carrier used in a year",
            move |row| carrier(row).map(|(_, amount)| amount),
        )
        .text("unit", "the unit the carrier is bought in", move |row| {
            carrier(row).map(|(carrier, _)| carrier.unit)
        })
        .number(
            "price_in_currency_a_unit",
            IN_CURRENCY,
            "price of a unit of the carrier in year 0; of loan payments, the level sum that the bank asks for \
             each year, whatever money the other columns are in",
            move |row| {
                let price = carrier(row).map(|(carrier, _)| carrier.price);
                price.or_else(|| loan(row)?.payment_year().ok())
            },
        )
}

fn amount_columns(builder: Builder<'_>) -> Builder<'_> {
    let sum = |of: fn(&Amounts) -> f64| move |row: &CostRow| row.amounts.as_ref().map(of);
    builder
        .number(
            "year_0_in_currency",
            IN_CURRENCY,
            "paid on the day of buying",
            sum(|of| of.year_0),
        )
        .number(
            "year_1_in_currency",
            IN_CURRENCY,
            "paid in the first year",
            sum(|of| of.year_1),
        )
        .number(
            "all_years_in_currency",
            IN_CURRENCY,
            "paid over the study period, undiscounted; a loan may run for longer",
            sum(|of| of.all_years),
        )
        .number(
            "present_value_in_currency",
            IN_CURRENCY,
            "what that is worth on the day of buying, at the rate of discount",
            sum(|of| of.present_value),
        )
}

fn terms_columns(builder: Builder<'_>) -> Builder<'_> {
    builder
        .whole("years", "study period", |row| {
            Some(i64::from(row.money.terms.years))
        })
        .number(
            "discount_rate_percent",
            "%",
            "rate of discount a year: above inflation in constant money",
            |row| row.money.terms.rate * 100.0,
        )
        .text(
            "money_is",
            "constant: sums of every year in money of year 0; current: as they stand on the bills of \
             their year. Present values are the same in both",
            |row| Some(row.money.terms.basis.word()),
        )
        .number("inflation_percent", "%", "inflation a year", |row| {
            row.money.terms.inflation * 100.0
        })
}
