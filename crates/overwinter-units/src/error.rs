//! What can be wrong with a quantity.

use thiserror::Error;

use crate::kind::Kind;
use crate::unit;

/// Why a text is not the quantity that was wanted.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum QuantityError {
    /// No text at all.
    #[error("nothing is written where {wanted} is wanted; {}", right(*wanted))]
    Empty {
        /// The kind that was wanted.
        wanted: Kind,
    },
    /// No number where one should be.
    #[error("\"{text}\" has no number where {wanted} is wanted; {}", right(*wanted))]
    NoNumber {
        /// The text.
        text: String,
        /// The kind that was wanted.
        wanted: Kind,
    },
    /// A bare number.
    #[error("\"{text}\" has no unit: {wanted} is wanted; {}", right(*wanted))]
    NoUnit {
        /// The text.
        text: String,
        /// The kind that was wanted.
        wanted: Kind,
    },
    /// A unit that is not in the table.
    #[error("\"{unit}\" is no unit known here, in \"{text}\": {wanted} is wanted; {}", right(*wanted))]
    UnknownUnit {
        /// The text.
        text: String,
        /// The unknown unit.
        unit: String,
        /// The kind that was wanted.
        wanted: Kind,
    },
    /// A unit of another kind.
    #[error("\"{text}\" is {found}, but {wanted} is wanted; {}", right(*wanted))]
    WrongKind {
        /// The text.
        text: String,
        /// Its unit.
        unit: String,
        /// What that unit measures.
        found: Kind,
        /// The kind that was wanted.
        wanted: Kind,
    },
    /// A sum of terms where one number is wanted.
    #[error("\"{text}\" has several numbers: write {wanted} as one number; {}", right(*wanted))]
    Sum {
        /// The text.
        text: String,
        /// The kind that was wanted.
        wanted: Kind,
    },
    /// A number beyond what the machine can hold.
    #[error("\"{text}\" is too large for {wanted}")]
    NotFinite {
        /// The text.
        text: String,
        /// The kind that was wanted.
        wanted: Kind,
    },
    /// Outside the valid range.
    #[error("{value} is outside the range of {wording}: {range}")]
    OutOfRange {
        /// The value as written or in the units of the range.
        value: String,
        /// What the range is for.
        wording: &'static str,
        /// The range in words.
        range: String,
    },
    /// Not a sum of money.
    #[error(
        "\"{text}\" is not a sum of money; write an amount without thousands marks and its currency, \
         for example \"3400 USD\""
    )]
    Money {
        /// The text.
        text: String,
    },
    /// Not a sum of money a year.
    #[error(
        "\"{text}\" is not a sum of money a year; write an amount, its currency and the year, for \
         example \"150 USD/yr\""
    )]
    MoneyAYear {
        /// The text.
        text: String,
    },
    /// Not a price.
    #[error(
        "\"{text}\" is not a price; write an amount, a currency and the unit it buys, \
         for example \"2.10 USD/gal\" or \"0.14 USD/kWh\""
    )]
    Price {
        /// The text.
        text: String,
    },
}

/// What would be right for a kind.
fn right(kind: Kind) -> String {
    match kind {
        Kind::Number => "write a plain number".to_owned(),
        Kind::Share => "write for example \"80 %\" or 0.8".to_owned(),
        _ => format!("units are {}", unit::symbols(kind).join(", ")),
    }
}
