//! Newton's method on the balances of a network.

use super::Surroundings;
use super::assembly::{Assembly, End};
use crate::error::PhysicsError;

const MOST_PASSES: usize = 200;

/// Imbalance, as a share of the largest flow, at which a network counts as balanced.
const BALANCED_SHARE: f64 = 1e-13;

/// Imbalance of a network without flow, m3/s.
const NO_FLOW_M3_S: f64 = 1e-18;

/// Last bits of a pressure that the search need not tell apart.
const ROUNDING: f64 = 16.0 * f64::EPSILON;

/// Passes after which steps may no longer pass the lowest point along them: two bends could
/// hand a step back and forth.
const FREE_PASSES: usize = 20;

/// Doublings and halvings of one step.
const MOST_TRIALS: usize = 80;

/// Air that a section takes up while its pressure differs from that at the start of a step.
pub(in crate::inflation) trait Storage {
    /// Flow into the section's volume, m3/s, and its slope in m3/s per Pa, both rising with pressure.
    fn uptake(&self, section: usize, pressure_pa: f64) -> (f64, f64);

    /// Flow that the last bits of a pressure move at most, m3/s, as a slope in m3/s per Pa and the
    /// size of the pressures it is worked out from, Pa: at a bend rounding may fall on either side.
    fn steepest(&self, section: usize) -> (f64, f64);
}

/// Balances at one set of pressures.
struct Balance {
    /// Net flow into every node, m3/s.
    net_m3_s: Vec<f64>,
    /// Negative slope of it against every pressure, row by row: symmetric, never negative.
    slopes: Vec<f64>,
    largest_flow_m3_s: f64,
    /// Flow by which the last bits of a pressure move a balance, m3/s.
    rounding_m3_s: f64,
}

impl Balance {
    fn imbalance_m3_s(&self) -> f64 {
        if self.net_m3_s.iter().any(|net| !net.is_finite()) {
            return f64::INFINITY;
        }
        let largest = |most: f64, net: &f64| most.max(net.abs());
        self.net_m3_s.iter().fold(0.0, largest)
    }

    fn is_level(&self) -> bool {
        let allowed = BALANCED_SHARE * self.largest_flow_m3_s + self.rounding_m3_s + NO_FLOW_M3_S;
        self.imbalance_m3_s() <= allowed
    }

    fn allow_for_rounding(&mut self, slope_m3_s_pa: f64, pressure_pa: f64) {
        let rounding_m3_s = ROUNDING * slope_m3_s_pa * pressure_pa;
        self.rounding_m3_s = self.rounding_m3_s.max(rounding_m3_s);
    }

    fn along(&self, direction: &[f64]) -> f64 {
        let parts = self.net_m3_s.iter().zip(direction);
        parts.map(|(net, step)| net * step).sum()
    }
}

impl Assembly {
    /// Node pressures at which every net flow equals what the storage takes up.
    pub(crate) fn balance(
        &self,
        around: &Surroundings,
        storage: Option<&dyn Storage>,
        start_pa: &[f64],
    ) -> Result<Vec<f64>, PhysicsError> {
        let mut pressures_pa = start_pa.to_vec();
        let mut balance = self.balance_at(&pressures_pa, around, storage);
        for pass in 0..MOST_PASSES {
            if balance.is_level() {
                return Ok(pressures_pa);
            }
            let direction = newton_step(&balance);
            let at = |share: f64| stepped(&pressures_pa, &direction, share);
            let trial = |share: f64| self.balance_at(&at(share), around, storage);
            let start = balance.along(&direction);
            let careful = pass >= FREE_PASSES;
            let lowest = if careful { 0.0 } else { -0.5 * start };
            let share = step_share(start, lowest, |share| trial(share).along(&direction));
            pressures_pa = at(share);
            // A cut step met a bend, where one section at a time goes round it better.
            if share < 1.0 || careful {
                self.sweep(&mut pressures_pa, around, storage);
            }
            balance = self.balance_at(&pressures_pa, around, storage);
        }
        if balance.is_level() {
            return Ok(pressures_pa);
        }
        Err(PhysicsError::NoPressures {
            imbalance_m3_s: balance.imbalance_m3_s(),
            passes: MOST_PASSES,
        })
    }

    /// Balances every node in turn with its neighbours held.
    fn sweep(
        &self,
        pressures_pa: &mut [f64],
        around: &Surroundings,
        storage: Option<&dyn Storage>,
    ) {
        for node in 0..self.nodes {
            let start_pa = pressures_pa[node];
            pressures_pa[node] = falling_zero(start_pa, |pressure_pa| {
                pressures_pa[node] = pressure_pa;
                self.node_net_m3_s(node, pressures_pa, around, storage)
            });
        }
    }

    fn node_net_m3_s(
        &self,
        node: usize,
        pressures_pa: &[f64],
        around: &Surroundings,
        storage: Option<&dyn Storage>,
    ) -> f64 {
        let mut net_m3_s = 0.0;
        for way in &self.ways {
            let inward = match (
                node_of(way.from) == Some(node),
                node_of(way.to) == Some(node),
            ) {
                (true, false) => -1.0,
                (false, true) => 1.0,
                _ => continue,
            };
            let from_pa = Self::pressure_pa(way.from, pressures_pa, around);
            let to_pa = Self::pressure_pa(way.to, pressures_pa, around);
            net_m3_s += inward * way.flow_and_slope(from_pa - to_pa).0;
        }
        let stored = storage.filter(|_| node < self.sections());
        net_m3_s - stored.map_or(0.0, |stored| stored.uptake(node, pressures_pa[node]).0)
    }

    fn balance_at(
        &self,
        pressures_pa: &[f64],
        around: &Surroundings,
        storage: Option<&dyn Storage>,
    ) -> Balance {
        let nodes = self.nodes;
        let mut balance = Balance {
            net_m3_s: vec![0.0; nodes],
            slopes: vec![0.0; nodes * nodes],
            largest_flow_m3_s: 0.0,
            rounding_m3_s: 0.0,
        };
        for way in &self.ways {
            let from_pa = Self::pressure_pa(way.from, pressures_pa, around);
            let to_pa = Self::pressure_pa(way.to, pressures_pa, around);
            let (flow, slope) = way.flow_and_slope(from_pa - to_pa);
            balance.largest_flow_m3_s = balance.largest_flow_m3_s.max(flow.abs());
            balance.allow_for_rounding(slope, from_pa.abs().max(to_pa.abs()));
            let (from, to) = (node_of(way.from), node_of(way.to));
            if let Some(from) = from {
                balance.net_m3_s[from] -= flow;
                balance.slopes[from * nodes + from] += slope;
            }
            if let Some(to) = to {
                balance.net_m3_s[to] += flow;
                balance.slopes[to * nodes + to] += slope;
            }
            if let (Some(from), Some(to)) = (from, to) {
                balance.slopes[from * nodes + to] -= slope;
                balance.slopes[to * nodes + from] -= slope;
            }
        }
        if let Some(storage) = storage {
            for (section, &pressure_pa) in pressures_pa[..self.sections()].iter().enumerate() {
                let (uptake, slope) = storage.uptake(section, pressure_pa);
                balance.net_m3_s[section] -= uptake;
                balance.slopes[section * nodes + section] += slope;
                let (steepest, size_pa) = storage.steepest(section);
                balance.allow_for_rounding(steepest, size_pa + pressure_pa.abs());
            }
        }
        balance
    }
}

fn node_of(end: End) -> Option<usize> {
    match end {
        End::Node(node) => Some(node),
        End::Beyond(_) => None,
    }
}

fn stepped(pressures_pa: &[f64], direction: &[f64], share: f64) -> Vec<f64> {
    let parts = pressures_pa.iter().zip(direction);
    parts
        .map(|(pressure, step)| pressure + share * step)
        .collect()
}

/// Share of a step after which the slope lies between `lowest` and half of that at the start.
///
/// The slope along a step falls all the way, so doubling finds an end past the zero, halving the zero.
fn step_share(start: f64, lowest: f64, slope_at: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high, mut share) = (0.0, f64::INFINITY, 1.0);
    for _ in 0..MOST_TRIALS {
        let slope = slope_at(share);
        if (lowest..=0.5 * start).contains(&slope) {
            return share;
        }
        if slope > 0.0 {
            low = share;
        } else {
            high = share;
        }
        share = if high.is_finite() {
            0.5 * (low + high)
        } else {
            2.0 * share
        };
    }
    low
}

/// Where a falling function passes zero, searched from `start` by doubled steps, then between two ends;
/// `start` if it does not within [`MOST_TRIALS`] doublings.
fn falling_zero(start: f64, mut value_at: impl FnMut(f64) -> f64) -> f64 {
    let value = value_at(start);
    if value == 0.0 {
        return start;
    }
    let sign = value.signum();
    let mut near = (start, value * sign);
    let mut step = sign;
    let mut far = (start + step, value_at(start + step) * sign);
    for _ in 0..MOST_TRIALS {
        if far.1 <= 0.0 {
            return zero_between(near, far, |at| value_at(at) * sign);
        }
        near = far;
        step *= 2.0;
        let at = far.0 + step;
        far = (at, value_at(at) * sign);
    }
    start
}

/// Where a function that is above zero at one end and not above it at the other passes zero.
///
/// Straight lines between the ends, the value of an end that stays halved so that both close in; every
/// third trial halves the way, which a function with a steep bend needs.
fn zero_between(
    mut above: (f64, f64),
    mut below: (f64, f64),
    mut value_at: impl FnMut(f64) -> f64,
) -> f64 {
    for trial in 1..=MOST_TRIALS {
        let width = below.0 - above.0;
        if below.1 == 0.0 || width.abs() <= f64::EPSILON * above.0.abs().max(below.0.abs()) {
            return below.0;
        }
        let share = if trial % 3 == 0 {
            0.5
        } else {
            above.1 / (above.1 - below.1)
        };
        let at = above.0 + share * width;
        let value = value_at(at);
        if value > 0.0 {
            above = (at, value);
            below.1 *= 0.5;
        } else {
            below = (at, value);
            above.1 *= 0.5;
        }
    }
    below.0
}

/// Solves the symmetric slopes for the step that would balance straight flows.
fn newton_step(balance: &Balance) -> Vec<f64> {
    let nodes = balance.net_m3_s.len();
    let mut matrix = balance.slopes.clone();
    let mut step = balance.net_m3_s.clone();
    let steepest = (0..nodes).fold(0.0, |most: f64, i| most.max(matrix[i * nodes + i]));
    // Sections cut off from everything have no slope; a trace of one leaves them where they are.
    let trace = 1e-14 * steepest + f64::MIN_POSITIVE;
    for i in 0..nodes {
        matrix[i * nodes + i] += trace;
    }
    for pivot in 0..nodes {
        for row in pivot + 1..nodes {
            let factor = matrix[row * nodes + pivot] / matrix[pivot * nodes + pivot];
            for column in pivot..nodes {
                matrix[row * nodes + column] -= factor * matrix[pivot * nodes + column];
            }
            step[row] -= factor * step[pivot];
        }
    }
    for row in (0..nodes).rev() {
        let known: f64 = (row + 1..nodes)
            .map(|c| matrix[row * nodes + c] * step[c])
            .sum();
        step[row] = (step[row] - known) / matrix[row * nodes + row];
    }
    step
}
