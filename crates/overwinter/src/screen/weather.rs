//! Which years the cases of a run were stepped through, and what to bear in mind about them.

use std::collections::BTreeSet;

use overwinter_study::summary::CaseSummary;
use overwinter_weather::YearKind;

use super::layout::{item, labelled};

/// Real years named one by one in a caveat; more are given as a span.
const MOST_NAMED: usize = 4;

/// The line about the weather of one case: none for a typical year as its file has it.
pub(super) fn line(case: &CaseSummary) -> String {
    if case.weather_year == YearKind::Typical && case.stress.is_none() {
        return String::new();
    }
    let year = year_words(case.weather_year);
    let stress = case.stress.as_ref();
    let stress = stress.map_or_else(String::new, |stress| format!("; {stress}"));
    labelled("Weather", &(year + &stress))
}

/// A kind of year in words.
pub(crate) fn year_words(kind: YearKind) -> String {
    match kind {
        YearKind::Typical => "typical year".to_owned(),
        YearKind::Real(year) => format!("real year {year}"),
        YearKind::Unstated => "year not stated".to_owned(),
    }
}

/// What to bear in mind about the years and what was asked of them.
pub(super) fn caveats(cases: &[CaseSummary]) -> String {
    let kinds: BTreeSet<YearKind> = cases.iter().map(|case| case.weather_year).collect();
    let stressed = cases.iter().filter(|case| case.stress.is_some()).count();
    let mut text = item(&of_years(&kinds));
    if stressed > 0 {
        let which = if stressed == cases.len() {
            ""
        } else {
            " of some cases"
        };
        text += &item(&format!(
            "The weather{which} is moved from what its file has (see the table cases): its fuel is that of \
             the moved year, its lows are those of the cold that was asked for."
        ));
    }
    text
}

fn of_years(kinds: &BTreeSet<YearKind>) -> String {
    let real: Vec<i32> = kinds.iter().filter_map(number).collect();
    let design = "Size a heater for a design night; take the fuel from the season.";
    match (real.as_slice(), kinds.len() - real.len()) {
        ([], _) if kinds.contains(&YearKind::Unstated) => format!(
            "The weather file does not say whether its year is typical or real: colder nights than its \
             coldest will come. {design}"
        ),
        ([], _) => format!("One typical year: colder nights than its coldest will come. {design}"),
        ([year], 0) => format!(
            "One real year, {year}: others are colder and warmer, and its coldest night is no limit. Size a \
             heater for a design night; take the fuel from several years."
        ),
        (years, 0) => format!(
            "Real years ({}): nights colder than the coldest of them can come. Size a heater for a design \
             night, and see which year each row is of: weather_year in the tables.",
            listed(years)
        ),
        (years, _) => format!(
            "Typical years hide extremes; real ones ({}) hold their own. Compare lows year by year: \
             weather_year in the tables says which is which.",
            listed(years)
        ),
    }
}

fn number(kind: &YearKind) -> Option<i32> {
    match kind {
        YearKind::Real(year) => Some(*year),
        YearKind::Typical | YearKind::Unstated => None,
    }
}

fn listed(years: &[i32]) -> String {
    match years {
        [first, .., last] if years.len() > MOST_NAMED => {
            format!("{} from {first} to {last}", years.len())
        }
        years => years
            .iter()
            .map(i32::to_string)
            .collect::<Vec<_>>()
            .join(", "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(kinds: &[YearKind]) -> String {
        of_years(&kinds.iter().copied().collect())
    }

    #[test]
    fn the_caveat_follows_the_kind_of_year() {
        use YearKind::{Real, Typical, Unstated};
        assert!(words(&[Typical, Typical]).starts_with("One typical year: colder nights"));
        assert!(words(&[Unstated]).contains("does not say"));
        assert!(words(&[Unstated, Typical]).contains("does not say"));
        assert!(words(&[Real(1998)]).starts_with("One real year, 1998"));
        assert!(words(&[Real(2003), Real(1998)]).contains("(1998, 2003)"));
        let many: Vec<YearKind> = (1998..2010).map(Real).collect();
        assert!(words(&many).contains("(12 from 1998 to 2009)"));
        assert!(words(&[Typical, Real(1998)]).contains("hide extremes"));
    }
}
