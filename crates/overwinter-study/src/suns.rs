//! The sun on the shells of a study, worked out once for all cases that have it in common.
//!
//! Cases of one climate share what does not depend on a house, cases whose planes are the same share
//! the light on them, and cases whose covers are the same besides share all of it. What is shared
//! gives the same bits as [`overwinter_engine::sunlight::sunlight`] does for each case by itself, so
//! that results depend neither on what is kept nor on which case comes first. The store stands here
//! and not in the engine, which has no threads.

mod recent;

use std::sync::{Arc, OnceLock};

use overwinter_engine::house::House;
use overwinter_engine::sunlight::{LitHours, LitPlanes, ShellOptics, ShellPlanes, Sunlight};

use crate::case::Climate;
use recent::Recent;

/// Most memory for the suns kept: some 200 of an inflated pair under film.
const MOST_SUN_BYTES: usize = 64 << 20;
/// Most memory for light on planes: some 20 curved houses.
const MOST_PLANE_BYTES: usize = 64 << 20;

/// Suns of the climates of a study, kept until newer ones take their place.
#[derive(Debug)]
pub struct SunStore<'a> {
    climates: &'a [Climate],
    outside: Vec<OnceLock<LitHours>>,
    planes: Recent<PlanesKey, LitPlanes>,
    suns: Recent<SunKey, Sunlight>,
}

/// All that light on planes depends on.
#[derive(Clone, Debug, PartialEq)]
struct PlanesKey {
    climate: usize,
    planes: ShellPlanes,
}

/// All that the sun on a house depends on.
#[derive(Clone, Debug, PartialEq)]
struct SunKey {
    optics: ShellOptics,
    on: PlanesKey,
}

impl<'a> SunStore<'a> {
    /// An empty store for the climates of a study.
    pub fn new(climates: &'a [Climate]) -> Self {
        Self::of_size(climates, MOST_PLANE_BYTES, MOST_SUN_BYTES)
    }

    fn of_size(climates: &'a [Climate], plane_bytes: usize, sun_bytes: usize) -> Self {
        Self {
            climates,
            outside: climates.iter().map(|_| OnceLock::new()).collect(),
            planes: Recent::new(plane_bytes, LitPlanes::size_bytes),
            suns: Recent::new(sun_bytes, Sunlight::size_bytes),
        }
    }

    /// The sun on a house in one of the climates, by its index. Panics if there is no such climate.
    pub fn sunlight(&self, house: &House, climate: usize) -> Arc<Sunlight> {
        let optics = ShellOptics::of(house);
        let planes = ShellPlanes::of(house);
        let on = PlanesKey { climate, planes };
        let key = SunKey { optics, on };
        self.suns
            .get(&key, || self.on_planes(&key.on).sunlight(&key.optics))
    }

    fn on_planes(&self, key: &PlanesKey) -> Arc<LitPlanes> {
        let year = &self.climates[key.climate].year;
        let outside = || self.outside[key.climate].get_or_init(|| LitHours::of(year));
        self.planes
            .get(key, || LitPlanes::new(&key.planes, outside()))
    }
}

#[cfg(test)]
mod tests;
