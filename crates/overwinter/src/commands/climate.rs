//! `climate`: what weather files say about their places, and what is wrong with them.

use crate::arguments::ClimateArguments;
use crate::exit::{Exit, Stop};
use crate::messages;
use crate::program::Screen;
use crate::screen::climate;

pub(crate) fn climate(arguments: &ClimateArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let mut wrong = Vec::new();
    let mut shown = 0;
    for file in &arguments.files {
        match overwinter_weather::read_file(file) {
            Ok(year) => {
                let gap = if shown > 0 { "\n" } else { "" };
                let text = climate::text(file, &year, arguments.units.into());
                write!(screen.out, "{gap}{text}")?;
                shown += 1;
            }
            Err(error) => wrong.push(messages::chain(&error)),
        }
    }
    if wrong.is_empty() {
        Ok(Exit::Done)
    } else {
        screen.out.flush()?;
        Err(Stop::Told(wrong.join("\n")))
    }
}
