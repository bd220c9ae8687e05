//! The gaps that a blower keeps open: what joins and feeds them, and what nobody has measured of them.

use overwinter_physics::inflation::deflate::Films;
use overwinter_physics::inflation::flow::wind_coefficient;
use overwinter_physics::inflation::gap::{Ranged, TOUCHING_BELOW_M, TOUCHING_W_M2K};
use overwinter_physics::inflation::network::{Network, Surroundings};
use overwinter_physics::inflation::wind_pressure_pa;

use crate::house::{Facet, House};

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

/// Horizontal parts of the outward normal of every plane of a house's cover: east, north.
pub fn normals(house: &House) -> Vec<[f64; 2]> {
    let normal = |facet: &Facet| {
        let (tilt, azimuth) = (facet.tilt_deg.to_radians(), facet.azimuth_deg.to_radians());
        [tilt.sin() * azimuth.sin(), tilt.sin() * azimuth.cos()]
    };
    let facets = house.sections.iter().flat_map(|section| &section.facets);
    facets.map(normal).collect()
}

/// A wind at the cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wind {
    /// Speed.
    pub speed_m_s: f64,
    /// Where it comes from, degrees clockwise from north.
    pub from_deg: f64,
    /// Share of its suction that counts: [`Severity::suction_share`].
    pub suction_share: f64,
}

impl Wind {
    /// Pressure on planes of which `normals` are the normals, and none on the sheltered face after them;
    /// the house stands at the pressure of still air.
    pub fn around(self, normals: &[[f64; 2]], density_kg_m3: f64) -> Surroundings {
        let (east, north) = self.from_deg.to_radians().sin_cos();
        let pressure = |normal: &[f64; 2]| {
            let coefficient = wind_coefficient(east * normal[0] + north * normal[1]);
            let felt = coefficient.max(0.0) + self.suction_share * coefficient.min(0.0);
            wind_pressure_pa(felt, density_kg_m3, self.speed_m_s)
        };
        Surroundings {
            facet_pa: normals.iter().map(pressure).chain([0.0]).collect(),
            house_pa: 0.0,
        }
    }
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
