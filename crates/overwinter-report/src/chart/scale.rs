//! From values to places, with round numbers at the ticks.

/// A straight scale.
#[derive(Clone, Debug)]
pub(crate) struct Scale {
    low: f64,
    high: f64,
    start: f64,
    end: f64,
    step: f64,
}

impl Scale {
    /// A scale that holds all finite `values` between round numbers, from place `start` to `end`, with
    /// about `ticks` ticks. Without a value, or with but one, it holds a span around it.
    pub(crate) fn round(
        values: impl IntoIterator<Item = f64>,
        (start, end): (f64, f64),
        ticks: f64,
    ) -> Self {
        let finite = values.into_iter().filter(|value| value.is_finite());
        let span = finite.fold(None, |span: Option<(f64, f64)>, value| match span {
            Some((low, high)) => Some((low.min(value), high.max(value))),
            None => Some((value, value)),
        });
        let (low, high) = span.unwrap_or((0.0, 1.0));
        // Beyond these a step could not be counted up in doubles.
        let (low, high) = (low.clamp(-1e15, 1e15), high.clamp(-1e15, 1e15));
        let least = (low.abs().max(high.abs()) * 1e-6).max(1e-9);
        let (low, high) = if high - low < least {
            let around = (low.abs() * 0.1).max(0.5);
            (low - around, high + around)
        } else {
            (low, high)
        };
        let step = round_step((high - low) / ticks.max(1.0));
        Self {
            low: (low / step).floor() * step,
            high: (high / step).ceil() * step,
            start,
            end,
            step,
        }
    }

    /// Where a value stands.
    pub(crate) fn place(&self, value: f64) -> f64 {
        let share = (value - self.low) / (self.high - self.low);
        self.start + share.clamp(-0.05, 1.05) * (self.end - self.start)
    }

    /// The round numbers.
    pub(crate) fn ticks(&self) -> Vec<f64> {
        let mut ticks = Vec::new();
        let mut count = 0.0;
        while ticks.len() < 50 {
            let tick = self.low + count * self.step;
            if tick > self.high + self.step * 0.5 {
                break;
            }
            // What is nothing is written so.
            let is_nothing = tick.abs() < self.step * 1e-6;
            ticks.push(if is_nothing { 0.0 } else { tick });
            count += 1.0;
        }
        ticks
    }

    /// A tick in print, with as many decimals as the step has.
    pub(crate) fn print(&self, tick: f64) -> String {
        let decimals = if self.step < 1.0 {
            (-self.step.log10()).ceil().min(9.0)
        } else {
            0.0
        };
        let text = overwinter_units::grouped(&format!("{tick:.0$}", decimals.abs() as usize));
        text.replace('-', "−")
    }
}

/// The next of 1, 2, 5 times a power of ten.
fn round_step(step: f64) -> f64 {
    let power = 10_f64.powf(step.log10().floor());
    let digit = step / power;
    let rounded = [1.0, 2.0, 5.0]
        .into_iter()
        .find(|&round| digit <= round * 1.000_001);
    rounded.unwrap_or(10.0) * power
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ticks(values: &[f64]) -> Vec<String> {
        let scale = Scale::round(values.iter().copied(), (0.0, 100.0), 5.0);
        scale
            .ticks()
            .iter()
            .map(|&tick| scale.print(tick))
            .collect()
    }

    #[test]
    fn ticks_are_round_and_hold_the_values() {
        assert_eq!(ticks(&[0.0, 346.0]), ["0", "100", "200", "300", "400"]);
        assert_eq!(ticks(&[-13.0, 42.0]), ["−20", "0", "20", "40", "60"]);
        assert_eq!(ticks(&[0.0, 0.7]), ["0.0", "0.2", "0.4", "0.6", "0.8"]);
        assert_eq!(ticks(&[0.0, 11_003.0]), ["0", "5,000", "10,000", "15,000"]);
    }

    #[test]
    fn odd_values_have_a_scale_too() {
        let all = [
            vec![],
            vec![5.0],
            vec![f64::NAN, 1.0],
            vec![0.0, 0.0],
            vec![-1e300, 1e300],
            vec![1e-300, 0.0],
        ];
        for values in all {
            let scale = Scale::round(values.iter().copied(), (0.0, 100.0), 5.0);
            assert!((2..50).contains(&scale.ticks().len()), "{values:?}");
            for value in values {
                let place = scale.place(value);
                assert!(!place.is_finite() || (-10.0..110.0).contains(&place));
            }
        }
    }

    #[test]
    fn places_go_straight() {
        let scale = Scale::round([0.0, 100.0], (300.0, 100.0), 5.0);
        assert!((scale.place(25.0) - 250.0).abs() < 1e-9);
        assert!((scale.place(100.0) - 100.0).abs() < 1e-9);
    }
}
