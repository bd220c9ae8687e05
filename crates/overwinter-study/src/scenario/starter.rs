//! The text of a new scenario.

/// The weather file that a new scenario names.
pub const STARTER_WEATHER: &str = "725300-chicago-ohare-il-tmy3.epw";

/// A commented scenario to start from, with `name` as its title.
///
/// Its weather file is in the folder `../weather`. It names five inputs and shows the most useful others as comments with their usual values.
pub fn starter_text(name: &str) -> String {
    let title: String = name
        .chars()
        .filter(|c| !c.is_control() && !"\"\\".contains(*c))
        .collect();
    STARTER.replace("TITLE", title.trim())
}

const STARTER: &str = include_str!("starter.toml");

/// As [`starter_text`] with the weather file at another path, where that can be written in quotes.
pub fn starter_text_with(name: &str, weather_path: &str) -> String {
    let text = starter_text(name);
    if weather_path.contains(|c: char| c.is_control() || "\"\\".contains(c)) {
        return text;
    }
    text.replace(&format!("../weather/{STARTER_WEATHER}"), weather_path)
}
