//! The rows of a file in SI units, before they are laid on the two time axes.

use crate::error::{WeatherError, shortened};
use crate::field::{FIELDS, Field};
use crate::tally::Tally;
use crate::year::Place;

/// The date and hour label of a row, as written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Stamp {
    pub(crate) year: Option<i32>,
    pub(crate) month: u32,
    pub(crate) day: u32,
    pub(crate) hour: u32,
    pub(crate) minute: u32,
}

impl Stamp {
    pub(crate) fn shown(&self) -> String {
        format!("month {} day {} hour {}", self.month, self.day, self.hour)
    }
}

/// Where the values of row `r` stand, in hours after `r` whole hours of the stamps' year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RowClock {
    /// Radiation: 0.5 for a mean over the hour `r` to `r + 1`.
    pub(crate) radiation_h: f64,
    /// Air temperature, dew point, pressure, wind and cloud.
    pub(crate) air_h: f64,
    /// Longwave.
    pub(crate) longwave_h: f64,
    /// Local standard time minus the time of the stamps.
    pub(crate) local_minus_stamp_h: f64,
}

impl RowClock {
    /// Radiation over the hour before the stamp, air at the stamp, first stamp hour 1.
    pub(crate) const HOUR_ENDING: RowClock = RowClock {
        radiation_h: 0.5,
        air_h: 1.0,
        longwave_h: 0.5,
        local_minus_stamp_h: 0.0,
    };
}

/// One quantity in one place of a row, and how to read it.
#[derive(Clone, Debug)]
pub(crate) struct ColumnRule {
    pub(crate) field: Field,
    /// Position in the row, from 0.
    pub(crate) index: usize,
    /// Title for messages.
    pub(crate) title: String,
    /// SI value = number * scale + offset.
    pub(crate) scale: f64,
    pub(crate) offset: f64,
    /// Numbers from here up are the format's code for "missing".
    pub(crate) missing_from: f64,
}

/// Rows in SI units; NaN stands for missing.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    pub(crate) file: String,
    pub(crate) place: Place,
    pub(crate) clock: RowClock,
    pub(crate) lines: Vec<usize>,
    pub(crate) stamps: Vec<Stamp>,
    columns: [Vec<f64>; FIELDS],
    pub(crate) tally: Tally,
}

/// Numbers at or below this are a missing code in every format (-999, -9900, -9999).
const MISSING_UP_TO: f64 = -900.0;

impl Table {
    pub(crate) fn new(file: &str, place: Place, clock: RowClock) -> Self {
        Self {
            file: file.to_owned(),
            place,
            clock,
            lines: Vec::with_capacity(crate::year::HOURS),
            stamps: Vec::with_capacity(crate::year::HOURS),
            columns: std::array::from_fn(|_| Vec::new()),
            tally: Tally::default(),
        }
    }

    /// The values of a field; empty where the file has no such column.
    pub(crate) fn column(&self, field: Field) -> &[f64] {
        &self.columns[field as usize]
    }

    pub(crate) fn column_mut(&mut self, field: Field) -> &mut Vec<f64> {
        &mut self.columns[field as usize]
    }

    pub(crate) fn has(&self, field: Field) -> bool {
        self.column(field).iter().any(|value| !value.is_nan())
    }

    /// Opens a row; its values follow by [`Table::push`].
    pub(crate) fn begin_row(&mut self, line: usize, stamp: Stamp) {
        self.lines.push(line);
        self.stamps.push(stamp);
    }

    /// Reads the cells of one comma-separated row by its column rules.
    pub(crate) fn push_cells(
        &mut self,
        cells: &[&str],
        rules: &[ColumnRule],
        line: usize,
    ) -> Result<(), WeatherError> {
        for rule in rules {
            let text = cells.get(rule.index).copied();
            let number = self.cell_number(text, rule, line, cells.len(), "values")?;
            self.push_number(rule, number, line);
        }
        Ok(())
    }

    /// The number in a cell; a row may end before side quantities, not before those that every year
    /// needs.
    pub(crate) fn cell_number(
        &self,
        text: Option<&str>,
        rule: &ColumnRule,
        line: usize,
        row_length: usize,
        unit: &'static str,
    ) -> Result<Option<f64>, WeatherError> {
        match text {
            Some(text) => self.number(text, rule, line),
            None if rule.field == Field::AirTemp || rule.field.is_sun() => {
                Err(WeatherError::ShortRow {
                    file: self.file.clone(),
                    line,
                    column: rule.field.rule().name,
                    found: row_length,
                    unit,
                    wanted: rule.index + 1,
                })
            }
            None => Ok(None),
        }
    }

    /// Adds one number in the file's unit; `None` is missing.
    pub(crate) fn push_number(&mut self, rule: &ColumnRule, number: Option<f64>, line: usize) {
        let value = match number {
            None => f64::NAN,
            Some(number) if number >= rule.missing_from || number <= MISSING_UP_TO => f64::NAN,
            Some(number) => number.mul_add(rule.scale, rule.offset),
        };
        let checked = self.checked(rule.field, value, line);
        self.columns[rule.field as usize].push(checked);
    }

    fn number(
        &self,
        text: &str,
        rule: &ColumnRule,
        line: usize,
    ) -> Result<Option<f64>, WeatherError> {
        let text = text.trim();
        if matches!(text, "" | "?" | "-" | "*") {
            return Ok(None);
        }
        text.parse::<f64>()
            .map(Some)
            .map_err(|_| WeatherError::BadNumber {
                file: self.file.clone(),
                line,
                column: rule.title.clone(),
                value: shortened(text),
                wanted: "a number with a decimal point, or the missing code of the format",
            })
    }

    /// Missing and impossible values become NaN and are counted.
    fn checked(&mut self, field: Field, value: f64, line: usize) -> f64 {
        let rule = field.rule();
        let (low, high) = rule.possible;
        if value.is_nan() && field == Field::Extraterrestrial {
            // Only a check uses it, and computes it where it is absent.
            f64::NAN
        } else if value.is_nan() {
            self.tally
                .count(&format!("{} missing", rule.name), line, MISSING_ACTION);
            f64::NAN
        } else if rule.zero_is_missing && value.abs() < 1e-12 {
            let defect = format!("{} is 0, which stands for not filled", rule.name);
            self.tally.count(&defect, line, MISSING_ACTION);
            f64::NAN
        } else if !(low..=high).contains(&value) {
            let defect = format!("{} outside what is possible", rule.name);
            self.tally.count(&defect, line, MISSING_ACTION);
            f64::NAN
        } else {
            // Adding zero turns the -0.0 of some files into 0.0.
            value + 0.0
        }
    }

    /// Keeps the rows for which `keep` is true.
    pub(crate) fn retain_rows(&mut self, keep: &[bool]) {
        fn retain<T>(values: &mut Vec<T>, keep: &[bool]) {
            let mut flags = keep.iter();
            values.retain(|_| *flags.next().unwrap_or(&true));
        }
        retain(&mut self.lines, keep);
        retain(&mut self.stamps, keep);
        for column in &mut self.columns {
            retain(column, keep);
        }
    }
}

const MISSING_ACTION: &str = "counted as missing";
