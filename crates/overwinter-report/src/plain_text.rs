//! Texts of others made fit to stand in a page.

use std::borrow::Cow;

/// The text on one line, with a mark for each character that is not to be seen: control characters
/// and those that turn the direction of writing. Escaping for HTML is the template's work.
pub(crate) fn plain(text: &str) -> Cow<'_, str> {
    if !text.chars().any(|c| c.is_control() || is_unseen(c)) {
        return Cow::Borrowed(text);
    }
    let seen = |c: char| match c {
        '\n' | '\r' | '\t' => ' ',
        c if c.is_control() || is_unseen(c) => char::REPLACEMENT_CHARACTER,
        c => c,
    };
    Cow::Owned(text.chars().map(seen).collect())
}

/// Marks of direction, joiners of nothing, and what Unicode keeps for no character.
fn is_unseen(c: char) -> bool {
    matches!(c,
        '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
        | '\u{fdd0}'..='\u{fdef}' | '\u{fffe}' | '\u{ffff}')
        || u32::from(c) & 0xfffe == 0xfffe
}

/// The first `most` characters, with a mark if any were cut off.
pub(crate) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// A text cut between words into lines of at most `width` characters; at most `lines` of them.
pub(crate) fn wrapped(text: &str, width: usize, lines: usize) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match all.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => all.push(shortened(word, width)),
        }
    }
    if all.len() > lines {
        all.truncate(lines);
        if let Some(last) = all.last_mut() {
            *last = shortened(&format!("{last} …"), width);
        }
    }
    all
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// The text with a capital in front.
pub(crate) fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + characters.as_str()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_seen_is_marked() {
        assert_eq!(plain("plain words"), "plain words");
        assert_eq!(plain("two\nlines\t."), "two lines .");
        assert_eq!(plain("a\u{0}b\u{1b}[2J"), "a\u{fffd}b\u{fffd}[2J");
        assert_eq!(plain("\u{202e}gpj"), "\u{fffd}gpj");
        assert_eq!(plain("\u{1fffe}"), "\u{fffd}");
    }

    #[test]
    fn long_texts_are_cut() {
        assert_eq!(shortened("short", 10), "short");
        assert_eq!(shortened("a long label", 7), "a long…");
        assert_eq!(
            wrapped("inflated pair, infrared inside", 16, 2),
            ["inflated pair,", "infrared inside"]
        );
        assert_eq!(wrapped("a b c d", 1, 2), ["a", "…"]);
        assert_eq!(wrapped("", 10, 2), Vec::<String>::new());
    }

    #[test]
    fn lists_read_as_a_sentence() {
        let items = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(listed(&items), "a, b and c");
        assert_eq!(listed(&items[..2]), "a and b");
        assert_eq!(listed(&items[..1]), "a");
        assert_eq!(listed(&[]), "");
    }
}
