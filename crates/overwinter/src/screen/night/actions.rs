//! What to do when it fails and when it is over.

use overwinter_study::outages::night::FailingNight;

/// The list, in the order in which to act, for what stops in this house.
pub(super) fn text(night: &FailingNight, generator_load: &str) -> String {
    let mut text = "What to do\n".to_owned();
    let now = now(night, generator_load);
    for (index, action) in now.iter().enumerate() {
        text += &numbered(index + 1, action);
    }
    text + &numbered(now.len() + 1, &after(night))
}

fn now(night: &FailingNight, generator_load: &str) -> Vec<String> {
    let stops = night.stops;
    let shut = if stops.blowers {
        "Shut vents, doors, side curtains, and the blower's intake flap, or the gap empties through it."
    } else if night.is_inflated {
        "Shut vents, doors and side curtains. Leave the intake of a blower that runs open."
    } else {
        "Shut vents, doors and side curtains."
    };
    let mut now = vec![
        "See to your own safety first; nobody goes in for a crop where it is dangerous.".to_owned(),
        shut.to_owned(),
        "Lay row cover over the crop, several layers if you have them; draw the screens."
            .to_owned(),
    ];
    if stops.power {
        now.push(format!(
            "Run a generator outdoors, 20 ft (6 m) from any opening, on a transfer switch, the largest \
             motor first: {generator_load}. Have an electrician confirm it."
        ));
    } else if stops.heaters {
        now.push(
            "Look at fuel, valve, switch, outlet and the heater's own fault light; relight it once as \
             its maker says, and no more if you smell gas: then get out and call."
                .to_owned(),
        );
    } else if stops.blowers {
        now.push(
            "Look at the outlet and its ground-fault switch, the plug and the intake; a spare blower \
             takes minutes to fit."
                .to_owned(),
        );
    }
    now.push(if stops.power {
        "Call those on your list: power company, heating service, helpers.".to_owned()
    } else {
        "Call those on your list: fuel and heating service, electrician, helpers.".to_owned()
    });
    now.push(
        "Drain the water lines; carry the most tender plants to a warm place; note times and \
         temperatures for the insurer."
            .to_owned(),
    );
    now
}

fn after(night: &FailingNight) -> String {
    let stops = night.stops;
    let mut parts = Vec::new();
    if stops.blowers {
        parts.push("open the flap, blow the cover up again");
    }
    if stops.heaters {
        parts.push("look at flue and pilot before you leave the heater alone");
    }
    if parts.is_empty() {
        parts.push("mend what let the cold in, and look at the crop by day");
    }
    format!("When it is over: {}.", parts.join(", "))
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
