//! How far a run is: a bar for people, lines for programs.

use std::io::Write;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use overwinter_study::sweep::Progress;

use crate::arguments::ProgressChoice;

/// Runs shorter than this show no bar.
const PATIENCE: Duration = Duration::from_secs(1);
/// Time between two lines.
const BETWEEN_LINES: Duration = Duration::from_secs(1);

/// Tells on the error stream how far a run is.
pub(crate) enum Teller {
    /// Nobody would see it.
    Silent,
    /// A bar.
    Bar(Bar),
    /// Lines.
    Lines(Lines),
}

impl Teller {
    /// The teller that was asked for; without one, a bar where it would be seen.
    pub(crate) fn new(choice: Option<ProgressChoice>, err_is_terminal: bool, quiet: bool) -> Self {
        match choice {
            Some(ProgressChoice::Lines) => Self::Lines(Lines::new()),
            Some(ProgressChoice::Bar) => Self::Bar(Bar::new()),
            None if err_is_terminal && !quiet => Self::Bar(Bar::new()),
            None => Self::Silent,
        }
    }

    /// Tells how far the run is.
    pub(crate) fn tell(&self, progress: Progress) {
        match self {
            Self::Silent => {}
            Self::Bar(bar) => bar.show(progress),
            Self::Lines(lines) => lines.tell(progress, &mut std::io::stderr()),
        }
    }

    /// Ends: takes the bar away.
    pub(crate) fn end(&self) {
        if let Self::Bar(bar) = self {
            bar.bar.finish_and_clear();
        }
    }
}

/// A bar for what takes longer than a second.
pub(crate) struct Bar {
    bar: ProgressBar,
    began: Instant,
}

impl Bar {
    fn new() -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        let style = "{pos} of {len} cases {wide_bar} {per_sec}, {eta} left{msg}";
        Self {
            bar: bar.with_style(ProgressStyle::with_template(style).unwrap_or_else(|_| {
                // The template is checked by a test; the plain bar serves as well.
                ProgressStyle::default_bar()
            })),
            began: Instant::now(),
        }
    }

    fn show(&self, progress: Progress) {
        let Self { bar, began } = self;
        if bar.length().is_none() {
            bar.set_length(progress.total as u64);
            bar.set_position(progress.kept as u64);
            // What an earlier run did says nothing of the speed of this one.
            bar.reset_eta();
        }
        if bar.is_hidden() && began.elapsed() > PATIENCE {
            bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        if progress.failed > 0 {
            bar.set_message(format!(", {} failed", progress.failed));
        }
        // Threads may report out of order; the bar never goes back.
        bar.set_position(bar.position().max(progress.done as u64));
    }
}

/// Lines of JSON, about one a second, the first at the start and the last when all is done.
pub(crate) struct Lines {
    began: Instant,
    last: Mutex<Option<Instant>>,
}

impl Lines {
    fn new() -> Self {
        Self {
            began: Instant::now(),
            last: Mutex::new(None),
        }
    }

    fn tell(&self, progress: Progress, to: &mut dyn Write) {
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        let is_due = last.is_none_or(|last| last.elapsed() >= BETWEEN_LINES);
        if is_due || progress.done == progress.total {
            *last = Some(Instant::now());
            // If nobody reads the lines the run goes on.
            let _ = writeln!(to, "{}", line(progress, self.began.elapsed()));
        }
    }
}

/// One object: cases, failures, seconds since the start, rate, time left.
fn line(progress: Progress, since: Duration) -> String {
    let Progress {
        done,
        total,
        failed,
        kept,
    } = progress;
    let seconds = since.as_secs_f64();
    let new = done - kept;
    let rate = if new > 0 && seconds > 0.0 {
        new as f64 / seconds
    } else {
        0.0
    };
    let left = if rate > 0.0 {
        format!("{:.1}", (total - done) as f64 / rate)
    } else {
        "null".to_owned()
    };
    format!(
        "{{\"done\":{done},\"total\":{total},\"failed\":{failed},\"kept\":{kept},\
         \"seconds\":{seconds:.1},\"cases_per_second\":{rate:.3},\"seconds_left\":{left}}}"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const HALF: Progress = Progress {
        done: 6,
        total: 10,
        failed: 1,
        kept: 2,
    };

    #[test]
    fn a_short_run_stays_hidden_and_never_goes_back() {
        let bar = Bar::new();
        bar.show(HALF);
        bar.show(Progress { done: 5, ..HALF });
        assert!(bar.bar.is_hidden());
        assert_eq!((bar.bar.position(), bar.bar.length()), (6, Some(10)));
    }

    #[test]
    fn a_line_is_an_object_whose_rate_leaves_out_what_was_kept() {
        assert_eq!(
            line(HALF, Duration::from_secs(8)),
            "{\"done\":6,\"total\":10,\"failed\":1,\"kept\":2,\"seconds\":8.0,\
             \"cases_per_second\":0.500,\"seconds_left\":8.0}"
        );
        let begun = Progress { done: 2, ..HALF };
        assert!(line(begun, Duration::ZERO).ends_with("\"seconds_left\":null}"));
    }

    #[test]
    fn lines_come_at_the_start_and_at_the_end_and_not_in_between_at_once() {
        let lines = Lines::new();
        let mut told = Vec::new();
        for done in 2..=10 {
            lines.tell(Progress { done, ..HALF }, &mut told);
        }
        let told = String::from_utf8(told).expect("text");
        assert_eq!(told.lines().count(), 2, "{told}");
    }
}
