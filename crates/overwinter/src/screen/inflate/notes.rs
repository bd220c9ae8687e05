//! What is assumed, and what to beware of.

use overwinter_study::inflate::{DIRECTIONS, FILM_BELOW_OUTDOORS_K};

use super::Shown;
use crate::screen::figures::difference;
use crate::screen::layout::item;

pub(super) fn text(shown: &Shown) -> String {
    defaults(shown) + "\n" + &assumed(shown) + &cautions()
}

/// Defaults of one source in one paragraph.
fn defaults(shown: &Shown) -> String {
    if shown.defaults.is_empty() {
        return "Nothing about inflation is left to a default.\n".to_owned();
    }
    let mut by_source: Vec<(&str, Vec<String>)> = Vec::new();
    for used in &shown.defaults {
        let key = used.key.strip_prefix("inflation.").unwrap_or(&used.key);
        let value = format!("{key} {}", used.value);
        match by_source.iter_mut().find(|one| one.0 == used.source) {
            Some((_, values)) => values.push(value),
            None => by_source.push((&used.source, vec![value])),
        }
    }
    let paragraph =
        |(source, values): &(&str, Vec<String>)| item(&format!("{} ({source})", values.join("; ")));
    let text: String = by_source.iter().map(paragraph).collect();
    format!("Left to a default in [inflation]\n{text}")
}

fn assumed(shown: &Shown) -> String {
    let below = difference(FILM_BELOW_OUTDOORS_K, shown.system);
    [
        format!("Climate of the design night: {}.", shown.place),
        format!(
            "Wind on the faces by rough coefficients (from memory), the worst of {DIRECTIONS} directions; \
             the house stands at the pressure outdoors."
        ),
        format!(
            "Heat: all blown air warmed from outdoors to the house, an upper end. Water: all that is above \
             saturation at an outer film {below} below the outdoor air (estimate), an upper end."
        ),
        "Hoses of 3, 4, 5, 6 and 8 in (common practice, no source). Set the damper anew after any change."
            .to_owned(),
    ]
    .map(|text| item(&text))
    .concat()
}

fn cautions() -> String {
    [
        "Blower and outlets stand in a wet place: ground-fault protection (GFCI), weatherproof fittings, \
         the local electrical code, a licensed electrician. A tripped outlet makes no noise: fit an alarm \
         for loss of power.",
        "Snow and wind: nothing here says what the frame or the films bear, nor whether to deflate. Ask \
         the maker of the frame.",
    ]
    .map(item)
    .concat()
}
