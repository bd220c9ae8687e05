//! `climate`: what weather files say about their places, and what is wrong with them.

use crate::arguments::ClimateArguments;
use crate::exit::{Exit, Stop};
use crate::messages;
use crate::program::Screen;
use crate::screen::climate_years::YearFacts;
use crate::screen::{climate, climate_years};

pub(crate) fn climate(arguments: &ClimateArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let mut wrong = Vec::new();
    let mut shown = 0;
    let mut years = Vec::new();
    for file in &arguments.files {
        match overwinter_weather::read_file(file) {
            Ok(year) => {
                let gap = if shown > 0 { "\n" } else { "" };
                let text = climate::text(file, &year, arguments.units.into());
                write!(screen.out, "{gap}{text}")?;
                shown += 1;
                years.extend(YearFacts::of(file, &year));
            }
            Err(error) => wrong.push(messages::chain(&error)),
        }
    }
    let comparison = climate_years::text(&years, arguments.units.into());
    write!(screen.out, "{comparison}")?;
    if wrong.is_empty() {
        Ok(Exit::Done)
    } else {
        screen.out.flush()?;
        Err(Stop::Told(wrong.join("\n")))
    }
}
