//! Words of the trade, each with a plain one.

use maud::{Markup, html};

/// Words and what they mean.
const WORDS: [(&str, &str); 16] = [
    (
        "Top leaf",
        "a leaf at the top of the crop that sees the cover. On a clear night it is colder than the air.",
    ),
    (
        "Limit of the crop",
        "the leaf temperature at which a crop that was not hardened is lost, if it lasts.",
    ),
    (
        "Design night",
        "a made-up night as cold as the coldest 35 hours of a usual year, either clear and calm or cloudy \
      and windy. Heaters are sized by it.",
    ),
    (
        "Worst night",
        "the night of the weather year in which the leaf gets coldest.",
    ),
    (
        "Middle night",
        "the night with as many colder ones as warmer ones in the season (the median).",
    ),
    (
        "Peak heat",
        "the most heat the heaters give in one hour, taken as a mean over the hour.",
    ),
    (
        "kBtu/h",
        "a thousand Btu an hour, the size of a heater. 1 kW is 3.41 kBtu/h.",
    ),
    (
        "MMBtu",
        "a million Btu, an amount of heat. 1 MMBtu is 293 kWh.",
    ),
    (
        "Output and input",
        "output is the heat that reaches the house, input the energy of the fuel burned for it. \
      Input is the larger number.",
    ),
    (
        "Standby heater",
        "a heater that needs no electricity, for the night the power fails.",
    ),
    (
        "Draw",
        "one computation with one guess at all inputs that nobody has measured.",
    ),
    (
        "Median",
        "the middle value: half of the draws lie below it and half above.",
    ),
    ("Baseline", "the design that the others are compared with."),
    (
        "Present value",
        "what later payments are worth on the day of buying, with interest taken off.",
    ),
    (
        "Net saving",
        "what a design costs less than the baseline over all years, as a present value.",
    ),
    (
        "Payback",
        "the time until savings have made good what was paid more on the day of buying.",
    ),
];

/// The section.
pub(super) fn section() -> Markup {
    html! {
        section aria-labelledby="words" {
            h2 #words { "Words" }
            dl { @for (word, meaning) in WORDS { dt { (word) } dd { (meaning) } } }
        }
    }
}
