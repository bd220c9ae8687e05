//! Bridging short runs of missing values.

/// A run of missing values longer than the limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct LongGap {
    pub(crate) first: usize,
    pub(crate) hours: usize,
}

/// What was filled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Filled {
    pub(crate) count: usize,
    pub(crate) first: usize,
}

/// How the values in a gap follow from its two ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bridge {
    /// A straight line.
    Line,
    /// The last value before the gap.
    Hold,
}

/// Fills every run of NaN up to `limit` values from its neighbours; a run at an end of the series
/// takes the one neighbour it has. The series is untouched from a gap that is too long.
pub(crate) fn fill_gaps(
    values: &mut [f64],
    limit: usize,
    bridge: Bridge,
) -> Result<Filled, LongGap> {
    let mut filled = Filled::default();
    let mut next = 0;
    while let Some(offset) = values[next..].iter().position(|value| value.is_nan()) {
        let first = next + offset;
        let hours = values[first..]
            .iter()
            .take_while(|value| value.is_nan())
            .count();
        if hours > limit || hours == values.len() {
            return Err(LongGap { first, hours });
        }
        fill_run(values, first, hours, bridge);
        if filled.count == 0 {
            filled.first = first;
        }
        filled.count += hours;
        next = first + hours;
    }
    Ok(filled)
}

fn fill_run(values: &mut [f64], first: usize, hours: usize, bridge: Bridge) {
    let after = values.get(first + hours).copied();
    let before = first.checked_sub(1).map(|index| values[index]);
    let (from, to) = match (before, after, bridge) {
        (Some(from), _, Bridge::Hold) | (Some(from), None, Bridge::Line) => (from, from),
        (Some(from), Some(to), Bridge::Line) => (from, to),
        (None, Some(to), _) => (to, to),
        (None, None, _) => return,
    };
    for step in 0..hours {
        let share = (step + 1) as f64 / (hours + 1) as f64;
        values[first + step] = from + share * (to - from);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAN: f64 = f64::NAN;

    #[test]
    fn line_and_hold_between_two_neighbours() {
        let mut values = [1.0, NAN, NAN, 4.0];
        assert_eq!(
            fill_gaps(&mut values, 2, Bridge::Line),
            Ok(Filled { count: 2, first: 1 })
        );
        assert!((values[1] - 2.0).abs() < 1e-12 && (values[2] - 3.0).abs() < 1e-12);
        let mut values = [1.0, NAN, NAN, 4.0];
        assert!(fill_gaps(&mut values, 2, Bridge::Hold).is_ok());
        assert!((values[2] - 1.0).abs() < 1e-12);
    }

    #[test]
    fn ends_take_their_one_neighbour() {
        let mut values = [NAN, 5.0, NAN];
        assert_eq!(
            fill_gaps(&mut values, 6, Bridge::Line),
            Ok(Filled { count: 2, first: 0 })
        );
        assert!((values[0] - 5.0).abs() < 1e-12 && (values[2] - 5.0).abs() < 1e-12);
    }

    #[test]
    fn gap_beyond_the_limit_is_named() {
        let mut values = [1.0, NAN, NAN, NAN, 2.0];
        assert_eq!(
            fill_gaps(&mut values, 2, Bridge::Line),
            Err(LongGap { first: 1, hours: 3 })
        );
        let mut nothing = [NAN, NAN];
        assert_eq!(
            fill_gaps(&mut nothing, 9, Bridge::Line),
            Err(LongGap { first: 0, hours: 2 })
        );
    }
}
