//! The text of a new scenario.

/// A commented scenario to start from, with `name` as its title.
///
/// It names five inputs and shows the most useful others as comments with their usual values.
pub fn starter_text(name: &str) -> String {
    let title: String = name
        .chars()
        .filter(|c| !c.is_control() && !"\"\\".contains(*c))
        .collect();
    STARTER.replace("TITLE", title.trim())
}

const STARTER: &str = include_str!("starter.toml");
