//! How the program ends.

use std::io;

/// Exit status.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Everything asked for was done.
    Done,
    /// Some cases failed; the tables say which and why.
    SomeFailed,
    /// The input could not be used, or the output could not be written.
    BadInput,
    /// The user ended it early.
    Stopped,
}

impl Exit {
    /// The number the system sees.
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::SomeFailed => 1,
            Self::BadInput => 2,
            // 128 and the number of the signal, as shells report it.
            Self::Stopped => 130,
        }
    }
}

/// Why the program stopped before its end.
#[derive(Debug)]
pub(crate) enum Stop {
    /// With messages to be shown, one a line or more.
    Told(String),
    /// The screen took no more text.
    Screen(io::Error),
}

impl From<io::Error> for Stop {
    fn from(error: io::Error) -> Self {
        Self::Screen(error)
    }
}
