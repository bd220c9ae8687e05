//! The hours after the blowers stop, and how the gaps fill once they run again.
//!
//! Nobody has measured any of these times: each is a span over the kind and the harsh end of the leaks
//! and of the gap below which films touch.

use overwinter_engine::house::House;
use overwinter_engine::inflated::{Inflation, Severity, Wind, normals};
use overwinter_physics::error::PhysicsError;
use overwinter_physics::inflation::deflate::{FillingNetwork, GapAir};
use overwinter_physics::inflation::network::{Network, Surroundings};

use super::HELD_SHARE;
use super::wind::{WINDS_M_S, all_around, calm};

/// Time over which gaps are followed, s: ten days.
pub const LONGEST_FOLLOWED_S: f64 = 864_000.0;
/// First step in time, s.
const FIRST_STEP_S: f64 = 2.0;
/// Steps against the time that has passed.
const STEP_SHARE: f64 = 0.01;
/// Share of its area on which the films of a gap begin to touch, and lie on each other.
const TOUCHING: [f64; 2] = [0.01, 0.99];
/// Share of its volume from which a gap is full.
const FULL_SHARE: f64 = 0.99;

/// A time, from the soonest to the latest that the estimates allow; infinite where it does not come
/// within [`LONGEST_FOLLOWED_S`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Soonest.
    pub soonest_s: f64,
    /// With all estimates likely.
    pub likely_s: f64,
    /// Latest.
    pub latest_s: f64,
}

/// When a gap has lost what, after the blowers stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GapTimes {
    /// Its pressure is down to the weight of its outer film.
    pub pressure_lost: Span,
    /// Half of its air is gone.
    pub half_gone: Span,
    /// Its films begin to touch.
    pub touching: Span,
    /// They lie on each other.
    pub lying: Span,
}

/// When all gaps are filled again, once the blowers run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Refill {
    /// All gaps have their air.
    pub full: Span,
    /// All gaps have the pressure at which they count as held, or what they reach.
    pub pressure: Span,
}

/// The hours after the blowers stop.
#[derive(Clone, Debug, PartialEq)]
pub struct Stopped {
    /// True if every blower has a flap that shuts by itself.
    pub has_flaps: bool,
    /// Each gap in a calm, blowers as they are.
    pub as_stated: Vec<GapTimes>,
    /// Each gap in a calm, every inlet shut by hand.
    pub shut: Vec<GapTimes>,
    /// Each gap in the first of [`WINDS_M_S`], blowers as they are, over all directions.
    pub windy: Vec<GapTimes>,
    /// From empty gaps, in a calm.
    pub refill: Refill,
}

pub(super) fn of(house: &House, inflation: &Inflation) -> Result<Stopped, PhysicsError> {
    let still = calm(house);
    let stopped = |shut: bool| -> Result<Vec<GapTimes>, PhysicsError> {
        let mut spans = Spans::new(inflation);
        for severity in Severity::ALL {
            let times = Course::of(inflation, severity, shut)?.times(&still)?;
            spans.take(severity, &times);
        }
        Ok(spans.gaps())
    };
    Ok(Stopped {
        has_flaps: inflation
            .network
            .feeds
            .iter()
            .all(|feed| feed.blower.back_draft_flap),
        as_stated: stopped(false)?,
        shut: stopped(true)?,
        windy: windy(house, inflation)?,
        refill: refill(inflation, &still)?,
    })
}

fn windy(house: &House, inflation: &Inflation) -> Result<Vec<GapTimes>, PhysicsError> {
    let mut spans = Spans::new(inflation);
    for severity in Severity::ALL {
        let course = Course::of(inflation, severity, false)?;
        for wind in all_around(WINDS_M_S[0]) {
            let wind = Wind {
                suction_share: severity.suction_share(),
                ..wind
            };
            let around = wind.around(&normals(house), inflation.network.density_kg_m3);
            spans.take(severity, &course.times(&around)?);
        }
    }
    Ok(spans.gaps())
}

/// Pressure lost, half gone, touching, lying: the times of one gap in one course.
type Times = [f64; 4];

/// Spans of all gaps, gathered from single courses.
struct Spans(Vec<[Span; 4]>);

impl Spans {
    fn new(inflation: &Inflation) -> Self {
        Self(vec![[Span::BEFORE_ANY; 4]; inflation.names.len()])
    }

    fn take(&mut self, severity: Severity, times: &[Times]) {
        for (spans, times) in self.0.iter_mut().zip(times) {
            for (span, &time_s) in spans.iter_mut().zip(times) {
                span.take(severity, time_s);
            }
        }
    }

    fn gaps(self) -> Vec<GapTimes> {
        let named = |[pressure_lost, half_gone, touching, lying]: [Span; 4]| GapTimes {
            pressure_lost,
            half_gone,
            touching,
            lying,
        };
        self.0.into_iter().map(named).collect()
    }
}

impl Span {
    const BEFORE_ANY: Self = Self {
        soonest_s: f64::INFINITY,
        likely_s: f64::INFINITY,
        latest_s: 0.0,
    };

    fn take(&mut self, severity: Severity, time_s: f64) {
        self.soonest_s = self.soonest_s.min(time_s);
        self.latest_s = self.latest_s.max(time_s);
        if severity == Severity::Likely {
            self.likely_s = self.likely_s.min(time_s);
        }
    }
}

/// Gaps whose blowers stand, at one end of the estimates.
struct Course {
    running: FillingNetwork,
    standing: FillingNetwork,
    touching_below_m: f64,
    gaps: usize,
}

impl Course {
    fn of(inflation: &Inflation, severity: Severity, shut: bool) -> Result<Self, PhysicsError> {
        let running = leaking(inflation, severity);
        let mut standing = running.clone();
        for feed in &mut standing.feeds {
            feed.running = false;
            feed.blower.back_draft_flap |= shut;
        }
        Ok(Self {
            running: FillingNetwork::new(&running, inflation.films.clone())?,
            standing: FillingNetwork::new(&standing, inflation.films.clone())?,
            touching_below_m: severity.of(inflation.touching_below_m),
            gaps: inflation.names.len(),
        })
    }

    /// Times of each gap.
    fn times(&self, around: &Surroundings) -> Result<Vec<Times>, PhysicsError> {
        let start = self.running.settled(around)?;
        let mut gaps = self.standing.clone();
        let measures = |gaps: &FillingNetwork, air: &GapAir| self.measures(gaps, air, around);
        let first = measures(&gaps, &start);
        let mut times = vec![[f64::INFINITY; 4]; self.gaps];
        reached(&mut times, (0.0, &first), (0.0, &first));
        let (mut air, mut before, mut time_s) = (start, first, 0.0);
        while time_s < LONGEST_FOLLOWED_S && times.iter().flatten().any(|time| time.is_infinite()) {
            let step_s = (STEP_SHARE * time_s).max(FIRST_STEP_S);
            gaps.set_longest_step_s(step_s);
            gaps.advance(&mut air, around, step_s)?;
            let now = measures(&gaps, &air);
            reached(&mut times, (time_s, &before), (time_s + step_s, &now));
            (before, time_s) = (now, time_s + step_s);
        }
        Ok(times)
    }

    /// What each gap has lost of each kind: at zero and above, it is lost.
    fn measures(&self, gaps: &FillingNetwork, air: &GapAir, around: &Surroundings) -> Vec<Times> {
        let of = |gap: usize| {
            let (volume_m3, taut_m3) = (air.volume_m3[gap], gaps.taut_m3()[gap]);
            let touching = gaps.touching_share(air, around, gap, self.touching_below_m);
            let touching = touching.unwrap_or(0.0);
            [
                1.0 - volume_m3 / taut_m3,
                0.5 - volume_m3 / taut_m3,
                touching - TOUCHING[0],
                touching - TOUCHING[1],
            ]
        };
        (0..self.gaps).map(of).collect()
    }
}

/// Notes, for measures that have come to zero between two instants, the straight line's crossing.
fn reached(times: &mut [Times], (from_s, before): (f64, &[Times]), (to_s, now): (f64, &[Times])) {
    let measures = before.iter().flatten().zip(now.iter().flatten());
    for (time_s, (&before, &now)) in times.iter_mut().flatten().zip(measures) {
        if time_s.is_infinite() && now >= 0.0 {
            let rise = now - before;
            let share = if rise > 0.0 { now / rise } else { 1.0 };
            *time_s = to_s - share.clamp(0.0, 1.0) * (to_s - from_s);
        }
    }
}

/// The network with its leaks at one end of the estimates.
fn leaking(inflation: &Inflation, severity: Severity) -> Network {
    let leak_times = severity.of(inflation.leak_times);
    let mut network = inflation.network.clone();
    for gap in &mut network.sections {
        for way in &mut gap.openings {
            way.opening = way.opening.scaled(leak_times);
        }
    }
    network
}

fn refill(inflation: &Inflation, still: &Surroundings) -> Result<Refill, PhysicsError> {
    let (mut full, mut pressure) = (Span::BEFORE_ANY, Span::BEFORE_ANY);
    for severity in Severity::ALL {
        let gaps = FillingNetwork::new(&leaking(inflation, severity), inflation.films.clone())?;
        let [full_s, pressure_s] = refill_times_s(gaps, inflation, still)?;
        full.take(severity, full_s);
        pressure.take(severity, pressure_s);
    }
    Ok(Refill { full, pressure })
}

/// Until all gaps have their air, and their pressure.
fn refill_times_s(
    mut gaps: FillingNetwork,
    inflation: &Inflation,
    still: &Surroundings,
) -> Result<[f64; 2], PhysicsError> {
    let settled = gaps.settled(still)?;
    let count = inflation.names.len();
    let wanted_pa: Vec<f64> = settled.pressure_pa[..count]
        .iter()
        .map(|&reached_pa| HELD_SHARE * reached_pa.min(inflation.asked_pa))
        .collect();
    let mut air = gaps.full(still)?;
    air.volume_m3.fill(0.0);
    air.pressure_pa.fill(0.0);
    let mut times_s = [f64::INFINITY; 2];
    let mut time_s = 0.0;
    while time_s < LONGEST_FOLLOWED_S && times_s[1].is_infinite() {
        let step_s = (STEP_SHARE * time_s).max(FIRST_STEP_S);
        gaps.set_longest_step_s(step_s);
        gaps.advance(&mut air, still, step_s)?;
        time_s += step_s;
        let volumes = air.volume_m3.iter().zip(gaps.taut_m3());
        let is_full = volumes
            .into_iter()
            .all(|(now, taut)| *now >= FULL_SHARE * taut);
        let pressures = air.pressure_pa.iter().zip(&wanted_pa);
        let is_held = is_full && pressures.into_iter().all(|(now, wanted)| now >= wanted);
        for (found_s, is_so) in times_s.iter_mut().zip([is_full, is_held]) {
            if is_so {
                *found_s = found_s.min(time_s);
            }
        }
    }
    Ok(times_s)
}
