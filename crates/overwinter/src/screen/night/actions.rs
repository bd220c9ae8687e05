//! What to do when it fails and when it is over.

/// The list, in the order in which to act.
pub(super) fn text(generator_load: &str) -> String {
    let now = [
        "See to your own safety first; nobody goes in for a crop where it is dangerous.".to_owned(),
        "Shut vents, doors, side curtains, and the blower's intake flap, or the gap empties through it."
            .to_owned(),
        "Lay row cover over the crop, several layers if you have them; draw the screens.".to_owned(),
        format!(
            "Run a generator outdoors, 20 ft (6 m) from any opening, on a transfer switch, the heater \
             first: {generator_load}. Have an electrician confirm it."
        ),
        "Call those on your list: power company, heating service, helpers.".to_owned(),
        "Drain the water lines; carry the most tender plants to a warm place; note times and \
         temperatures for the insurer."
            .to_owned(),
    ];
    let after = "When it is back: open the flap, blow the cover up again, look at flue and pilot before \
                 you leave the heater alone.";
    let mut text = "What to do\n".to_owned();
    for (index, action) in now.iter().enumerate() {
        text += &numbered(index + 1, action);
    }
    text + &numbered(now.len() + 1, after)
}

fn numbered(number: usize, action: &str) -> String {
    let block = crate::screen::layout::item(action);
    let mut lines = block.lines();
    let first = lines.next().unwrap_or_default();
    let mut text = format!("{number} {}\n", first.trim_start_matches("- "));
    for line in lines {
        text += line;
        text.push('\n');
    }
    text
}
