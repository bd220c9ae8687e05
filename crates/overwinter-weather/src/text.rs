//! From the bytes of a file to numbered lines of text.

use std::borrow::Cow;

/// The decoded text of a file and what had to be done to decode it.
pub(crate) struct Text<'a> {
    pub(crate) content: Cow<'a, str>,
    pub(crate) had_byte_order_mark: bool,
    pub(crate) was_latin_1: bool,
}

impl<'a> Text<'a> {
    /// Decodes as UTF-8, and where that fails byte by byte as Latin-1.
    pub(crate) fn decode(bytes: &'a [u8]) -> Self {
        const BYTE_ORDER_MARK: &[u8] = b"\xEF\xBB\xBF";
        let stripped = bytes.strip_prefix(BYTE_ORDER_MARK);
        let body = stripped.unwrap_or(bytes);
        let utf_8 = std::str::from_utf8(body);
        Self {
            had_byte_order_mark: stripped.is_some(),
            was_latin_1: utf_8.is_err(),
            content: match utf_8 {
                Ok(text) => Cow::Borrowed(text),
                Err(_) => Cow::Owned(body.iter().map(|&byte| char::from(byte)).collect()),
            },
        }
    }

    /// Lines with their numbers from 1, without line ends.
    pub(crate) fn lines(&self) -> Vec<Line<'_>> {
        self.content
            .split('\n')
            .enumerate()
            .map(|(index, text)| Line {
                number: index + 1,
                text: text.trim_end_matches('\r'),
            })
            .collect()
    }
}

/// One line and its number, counted from 1.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Line<'a> {
    pub(crate) number: usize,
    pub(crate) text: &'a str,
}

impl<'a> Line<'a> {
    /// True for lines of blanks and commas only.
    pub(crate) fn is_blank(&self) -> bool {
        self.text
            .bytes()
            .all(|byte| byte.is_ascii_whitespace() || byte == b',')
    }

    /// The comma-separated cells of a line without quoted commas.
    pub(crate) fn cells(&self) -> impl Iterator<Item = &'a str> {
        self.text.split(',')
    }

    /// The comma-separated cells of a line that may hold quoted text, trimmed.
    pub(crate) fn quoted_cells(&self) -> Vec<String> {
        let mut record = csv::StringRecord::new();
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(self.text.as_bytes());
        match reader.read_record(&mut record) {
            Ok(true) => record.iter().map(|cell| cell.trim().to_owned()).collect(),
            _ => self.cells().map(|cell| cell.trim().to_owned()).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn byte_order_mark_is_stripped() {
        let text = Text::decode(b"\xEF\xBB\xBFLOCATION,x");
        assert!(text.had_byte_order_mark);
        assert_eq!(text.content, "LOCATION,x");
    }

    #[test]
    fn bytes_that_are_not_utf_8_are_latin_1() {
        let text = Text::decode(b"Z\xFCrich");
        assert!(text.was_latin_1);
        assert_eq!(text.content, "Z\u{fc}rich");
    }

    #[test]
    fn both_line_ends_are_accepted_and_numbered() {
        let text = Text::decode(b"a\r\nb\nc");
        let lines: Vec<_> = text
            .lines()
            .iter()
            .map(|line| (line.number, line.text.to_owned()))
            .collect();
        assert_eq!(
            lines,
            [
                (1, "a".to_owned()),
                (2, "b".to_owned()),
                (3, "c".to_owned())
            ]
        );
    }

    #[test]
    fn quoted_name_may_hold_a_comma() {
        let line = Line {
            number: 1,
            text: "725300,\"O'HARE, CHICAGO\",IL",
        };
        assert_eq!(line.quoted_cells(), ["725300", "O'HARE, CHICAGO", "IL"]);
    }
}
