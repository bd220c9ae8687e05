//! A progress bar for what takes longer than a second.

use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use overwinter_study::run::Progress;

/// Runs shorter than this show no bar.
const PATIENCE: Duration = Duration::from_secs(1);

/// A bar on the error stream, or nothing where nobody would see it.
pub(crate) struct Bar {
    bar: Option<ProgressBar>,
    began: Instant,
}

impl Bar {
    /// A bar for `total` cases, never drawn unless `visible`.
    pub(crate) fn new(total: usize, visible: bool) -> Self {
        let bar = visible.then(|| {
            let bar =
                ProgressBar::with_draw_target(Some(total as u64), ProgressDrawTarget::hidden());
            let style = "{pos} of {len} cases {wide_bar} {eta} left";
            bar.with_style(ProgressStyle::with_template(style).unwrap_or_else(|_| {
                // The template is checked by a test; the plain bar serves as well.
                ProgressStyle::default_bar()
            }))
        });
        Self {
            bar,
            began: Instant::now(),
        }
    }

    /// Shows how far the run is.
    pub(crate) fn show(&self, progress: Progress) {
        if let Some(bar) = &self.bar {
            if bar.is_hidden() && self.began.elapsed() > PATIENCE {
                bar.set_draw_target(ProgressDrawTarget::stderr());
            }
            // Threads may report out of order; the bar never goes back.
            bar.set_position(bar.position().max(progress.done as u64));
        }
    }

    /// Takes the bar away.
    pub(crate) fn clear(&self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_nobody_sees_counts_nothing() {
        let bar = Bar::new(3, false);
        bar.show(Progress { done: 1, total: 3 });
        assert!(bar.bar.is_none());
    }

    #[test]
    fn a_short_run_stays_hidden_and_never_goes_back() {
        let bar = Bar::new(3, true);
        bar.show(Progress { done: 2, total: 3 });
        bar.show(Progress { done: 1, total: 3 });
        let inner = bar.bar.as_ref().expect("made visible");
        assert!(inner.is_hidden());
        assert_eq!(inner.position(), 2);
    }
}
