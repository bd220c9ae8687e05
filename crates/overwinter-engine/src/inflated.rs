//! The gaps that a blower keeps open: what joins and feeds them, and what nobody has measured of them.

use overwinter_physics::inflation::deflate::Films;
use overwinter_physics::inflation::gap::{Ranged, TOUCHING_BELOW_M, TOUCHING_W_M2K};
use overwinter_physics::inflation::network::Network;

/// Conductance of a slack gap that flaps in the wind, W/m2 K (estimate).
pub const FLAPPING_W_M2K: Ranged = Ranged {
    low: 3.0,
    likely: 5.0,
    high: 8.0,
};

/// Share of the wind's suction that holds slack films apart (estimate: gusts lay them on each other, a
/// steady wind lifts the outer one off all over the crown).
pub const SUCTION_SHARE: Ranged = Ranged {
    low: 0.0,
    likely: 0.5,
    high: 1.0,
};

/// Leaks against what is stated (estimate: nobody measures them).
pub const LEAK_TIMES: Ranged = Ranged {
    low: 0.5,
    likely: 1.0,
    high: 2.0,
};

/// Inflated gaps of a house with the ways between them.
///
/// A gap is one section of the network: a roof bay, a side, one end. Faces of the network are the
/// planes of the cover, in the order of [`crate::house::House::sections`] and their facets, and after
/// them one that no wind reaches, where blowers take their air.
#[derive(Clone, Debug, PartialEq)]
pub struct Inflation {
    /// Name of each gap.
    pub names: Vec<String>,
    /// Gaps, hoses, blowers.
    pub network: Network,
    /// Films of each gap.
    pub films: Vec<Films>,
    /// Section of the house to which each gap belongs.
    pub of_section: Vec<usize>,
    /// Pressure asked for.
    pub asked_pa: f64,
    /// Mean gap below which films begin to touch, m.
    pub touching_below_m: Ranged,
    /// Conductance where they touch, W/m2 K.
    pub touching_w_m2k: Ranged,
    /// Conductance of a slack gap that flaps, W/m2 K.
    pub flapping_w_m2k: Ranged,
    /// Leaks against those of the network.
    pub leak_times: Ranged,
    /// True if water that runs down in a gap can leave it.
    pub has_drains: bool,
}

impl Inflation {
    /// The network with its leaks at one end of their estimate; holes of a stated size stay as they are.
    pub fn leaking(&self, severity: Severity) -> Network {
        let leak_times = severity.of(self.leak_times);
        let mut network = self.network.clone();
        for gap in &mut network.sections {
            let leaks = gap.openings.iter_mut().filter(|way| way.opening.is_crack());
            for way in leaks {
                way.opening = way.opening.scaled(leak_times);
            }
        }
        network
    }

    /// Estimates of what nobody has measured: touching below, conductance, flapping, leaks.
    pub fn estimates() -> [Ranged; 4] {
        [TOUCHING_BELOW_M, TOUCHING_W_M2K, FLAPPING_W_M2K, LEAK_TIMES]
    }
}

/// Which end of the estimates a failure is computed with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Severity {
    /// All at the end that keeps the house warmest.
    Kind,
    /// All likely.
    #[default]
    Likely,
    /// All at the end that leaves it coldest.
    Harsh,
}

impl Severity {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Kind, Self::Likely, Self::Harsh];

    /// Share of the wind's suction that holds slack films apart: all of it at the kind end, none at the
    /// harsh one.
    pub fn suction_share(self) -> f64 {
        match self {
            Self::Kind => SUCTION_SHARE.high,
            Self::Likely => SUCTION_SHARE.likely,
            Self::Harsh => SUCTION_SHARE.low,
        }
    }

    /// The value of an estimate whose high end is the worse one.
    pub fn of(self, estimate: Ranged) -> f64 {
        match self {
            Self::Kind => estimate.low,
            Self::Likely => estimate.likely,
            Self::Harsh => estimate.high,
        }
    }
}
