//! The nearest known word to a misspelt one.

/// The word of `known` that is closest to `word`, if it is close enough to be meant.
pub(crate) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let allowed = (word.chars().count() / 3).max(1);
    known
        .into_iter()
        .map(|candidate| (distance(word, candidate), candidate))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// Number of letters to insert, drop, replace or swap with a neighbour to turn `a` into `b`.
///
/// # References
/// Damerau, F. J. (1964): A technique for computer detection and correction of spelling errors,
/// Communications of the ACM 7(3), in the restricted form (optimal string alignment).
fn distance(a: &str, b: &str) -> usize {
    let [a, b] = [a, b].map(|word| word.to_lowercase().chars().collect::<Vec<_>>());
    let mut rows = vec![vec![0; b.len() + 1]; a.len() + 1];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            rows[i][j] = if i == 0 || j == 0 {
                i.max(j)
            } else {
                let replaced = rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
                let mut least = replaced.min(rows[i - 1][j] + 1).min(rows[i][j - 1] + 1);
                if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                    least = least.min(rows[i - 2][j - 2] + 1);
                }
                least
            };
        }
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_word_and_a_stranger_none() {
        let known = ["width", "length", "ridge_height"];
        assert_eq!(nearest("widht", known), Some("width"));
        assert_eq!(nearest("ridge-height", known), Some("ridge_height"));
        assert_eq!(nearest("colour", known), None);
    }

    #[test]
    fn distances_count_edits() {
        for (a, b, edits) in [
            ("", "", 0),
            ("abc", "", 3),
            ("abc", "acb", 1),
            ("abc", "abd", 1),
        ] {
            assert_eq!(distance(a, b), edits, "{a} {b}");
        }
    }
}
