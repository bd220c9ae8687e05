use overwinter_engine::control::ScreenRule;
use overwinter_engine::house::{Facet, Outside, Shade, Shading, SolarOptics, Wall};
use overwinter_engine::sunlight::sunlight;
use overwinter_weather::year::HOURS;

use super::*;
use crate::handmade::{film_house, golden};

/// A film house with a wall, in the light from all sides.
fn house() -> House {
    let mut house = film_house();
    house.walls.push(Wall {
        name: "north".to_owned(),
        facet: Facet {
            area_m2: 12.0,
            tilt_deg: 90.0,
            azimuth_deg: 0.0,
        },
        solids: Vec::new(),
        outside: Outside::Open,
        solar_absorptance: [0.4, 0.7],
        emissivity: [0.9; 2],
    });
    house
}

/// Everything that a sun says, as bits.
fn bits(sun: &Sunlight, house: &House) -> Vec<u64> {
    let mut bits = Vec::new();
    for hour in 0..HOURS {
        let mut add = |value: f64| bits.push(value.to_bits());
        add(sun.sun_height_deg[hour]);
        sun.walls_w(hour).iter().for_each(|w| add(*w));
        for closed in [false, true] {
            sun.walls_inside_w(hour, closed)
                .iter()
                .for_each(|w| add(*w));
            for section in 0..house.sections.len() {
                let light = sun.section(hour, section, closed);
                add(light.beam_w);
                add(light.diffuse_w);
                light.absorbed_w.iter().for_each(|w| add(*w));
            }
        }
        bits.push(u64::from(sun.is_dark_around(hour)));
    }
    bits
}

/// A change of one thing that the sun on a house depends on, with its name.
type Change = (&'static str, fn(&mut House));

const SEEN_BY_THE_SUN: [Change; 14] = [
    ("transmittance", |house| {
        let layer = &mut house.sections[0].layers[0];
        if let SolarOptics::Measured { transmittance, .. } = &mut layer.solar {
            *transmittance -= 1e-3;
        }
    }),
    ("haze", |house| house.sections[0].layers[0].haze += 1e-3),
    ("kind of optics", |house| {
        house.sections[0].layers[0].solar = SolarOptics::Diffusing {
            transmittance: 0.8,
            reflectance: 0.1,
        };
    }),
    ("dirt", |house| house.sections[0].light_kept_share *= 0.999),
    ("screen", |house| {
        house.sections[0].screen = Some(ScreenRule {
            close_below_w_m2: 5.0,
            open_above_k: 300.0,
            needs_electricity: true,
        });
    }),
    ("another layer", |house| {
        let layer = house.sections[0].layers[0].clone();
        house.sections[0].layers.push(layer);
    }),
    ("absorptance outside", |house| {
        house.walls[0].solar_absorptance[1] += 1e-3;
    }),
    ("absorptance inside", |house| {
        house.walls[0].solar_absorptance[0] += 1e-3;
    }),
    ("shelter", |house| {
        house.walls[0].outside = Outside::Sheltered
    }),
    ("area", |house| house.sections[0].facets[0].area_m2 += 0.1),
    ("azimuth of a wall", |house| {
        house.walls[0].facet.azimuth_deg = 90.0;
    }),
    ("floor", |house| house.floor_area_m2 *= 0.5),
    ("ground reflectance", |house| {
        house.ground_reflectance = 0.3;
        house.ground_reflectance_holds = true;
    }),
    ("shading", |house| {
        let overhang = Some(Shade {
            depth_m: 0.5,
            distance_m: 0.1,
        });
        house.sections[0].shading = Some(Shading {
            overhang,
            fins: None,
            width_m: 2.0,
            height_m: 1.0,
        });
    }),
];

#[test]
fn houses_that_differ_in_one_thing_the_sun_sees_do_not_share_and_get_their_own_light() {
    let climates = [golden()];
    let store = SunStore::new(&climates);
    let plain = house();
    let shared = store.sunlight(&plain, 0);
    let of_plain = bits(&shared, &plain);
    assert!(of_plain == bits(&sunlight(&plain, &climates[0].year), &plain));
    for (name, change) in SEEN_BY_THE_SUN {
        let mut house = plain.clone();
        change(&mut house);
        let own = store.sunlight(&house, 0);
        assert!(!Arc::ptr_eq(&own, &shared), "{name}");
        let own = bits(&own, &house);
        assert!(own != of_plain, "{name}");
        // Compared without printing: every hour of a year.
        let alone = sunlight(&house, &climates[0].year);
        assert!(own == bits(&alone, &house), "{name}");
    }
    assert!(Arc::ptr_eq(&store.sunlight(&plain, 0), &shared));
}

#[test]
fn houses_that_look_alike_to_the_sun_share_one() {
    let climates = [golden(), golden()];
    let store = SunStore::new(&climates);
    let plain = house();
    let mut warmer = plain.clone();
    warmer.volume_m3 += 10.0;
    warmer.heaters.clear();
    warmer.crop = None;
    warmer.sections[0].layers[0].longwave_transmittance += 0.05;
    warmer.sections[0].layers[0].wetting.light_loss += 0.01;
    warmer.walls[0].emissivity = [0.5; 2];
    let first = store.sunlight(&plain, 0);
    assert!(Arc::ptr_eq(&first, &store.sunlight(&warmer, 0)));
    assert!(!Arc::ptr_eq(&first, &store.sunlight(&plain, 1)));
}

#[test]
fn a_study_of_many_covers_holds_no_more_than_its_limit() {
    let climates = [golden()];
    let plain = house();
    let bytes = store_bytes(&plain, &climates);
    let store = SunStore::of_size(&climates, bytes[0], 3 * bytes[1]);
    let suns: Vec<_> = (0..12_u8)
        .map(|step| {
            let mut house = plain.clone();
            house.sections[0].light_kept_share = 0.9 - 0.01 * f64::from(step);
            Arc::downgrade(&store.sunlight(&house, 0))
        })
        .collect();
    let kept: Vec<_> = suns.iter().map(|sun| sun.upgrade().is_some()).collect();
    assert!(kept[..9].iter().all(|kept| !kept) && kept[9..].iter().all(|kept| *kept));
}

/// Size of the light on the planes of a house and of the sun on it.
fn store_bytes(house: &House, climates: &[Climate]) -> [usize; 2] {
    let lit = LitHours::of(&climates[0].year);
    let planes = LitPlanes::new(&ShellPlanes::of(house), &lit);
    let sun = planes.sunlight(&ShellOptics::of(house));
    [planes.size_bytes(), sun.size_bytes()]
}
