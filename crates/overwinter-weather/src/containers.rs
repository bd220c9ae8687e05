//! Content that is refused before any format is looked for: packed files, other encodings, other
//! separators, and station records without radiation.

use crate::error::WeatherError;
use crate::text::Line;

/// Refuses packed files and texts in two-byte characters.
pub(crate) fn refuse_container(file: &str, bytes: &[u8]) -> Result<(), WeatherError> {
    const UNPACK: &str = "unpack it and give the file inside";
    const SAVE_AS_UTF_8: &str = "save it as UTF-8";
    let known: [(&[u8], &str, &str); 4] = [
        (b"PK\x03\x04", "a zip archive", UNPACK),
        (b"\x1f\x8b", "a gzip archive", UNPACK),
        (b"\xff\xfe", "text in UTF-16", SAVE_AS_UTF_8),
        (b"\xfe\xff", "text in UTF-16", SAVE_AS_UTF_8),
    ];
    match known.iter().find(|(start, _, _)| bytes.starts_with(start)) {
        Some(&(_, format, remedy)) => Err(WeatherError::RefusedFormat {
            file: file.to_owned(),
            line: 1,
            format,
            remedy,
        }),
        None => Ok(()),
    }
}

/// Refuses tables with semicolons between the columns and hourly station records.
pub(crate) fn refuse_layout(file: &str, lines: &[Line<'_>]) -> Result<(), WeatherError> {
    const LOOKED_AT: usize = 3;
    for line in lines.iter().take(LOOKED_AT) {
        let refused = |format, remedy| {
            Err(WeatherError::RefusedFormat {
                file: file.to_owned(),
                line: line.number,
                format,
                remedy,
            })
        };
        if has_semicolons(line.text) {
            return refused(
                "a table with semicolons between its columns",
                "save it with commas between columns and points in numbers",
            );
        }
        if is_station_record(line.text) {
            return refused(
                "an hourly station record (ISD-Lite)",
                "it holds no solar radiation; use a typical year of the place",
            );
        }
    }
    Ok(())
}

fn has_semicolons(text: &str) -> bool {
    let semicolons = text.bytes().filter(|&byte| byte == b';').count();
    semicolons > 5 && semicolons > text.bytes().filter(|&byte| byte == b',').count()
}

/// Twelve whole numbers that begin with a year, month, day and hour.
fn is_station_record(text: &str) -> bool {
    let numbers: Option<Vec<i32>> = text
        .split_whitespace()
        .map(|part| part.parse().ok())
        .collect();
    matches!(
        numbers.as_deref(),
        Some([1900..=2100, 1..=12, 1..=31, 0..=23, rest @ ..]) if rest.len() == 8
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn station_record_is_told_by_its_twelve_numbers() {
        assert!(is_station_record(
            "2010 01 01 00   -33   -67 10177   280    26     4 -9999 -9999"
        ));
        assert!(!is_station_record("2010 01 01 00 -33"));
        assert!(!is_station_record("1999,1,1,1,0"));
    }
}
