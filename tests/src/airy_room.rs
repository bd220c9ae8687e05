//! Rooms that are little but air, to look at one part of the engine alone.

use overwinter_engine::control::{Fans, Gains, Setting};
use overwinter_engine::house::{Facet, House, Leakage, Outside, SurfaceRule, Wall};

use crate::houses;

/// A room whose only way out is its air: adiabatic walls without capacity, heat stored in the air
/// alone, exchanged by a stated air change.
pub fn airy_room() -> House {
    let mut house = houses::dry_and_tight(houses::light_room());
    house.sections = Vec::new();
    house.walls = vec![Wall {
        name: "shell".to_owned(),
        facet: Facet {
            area_m2: 1e-3,
            tilt_deg: 90.0,
            azimuth_deg: 0.0,
        },
        solids: vec![houses::solid(0.1, 0.2, 1.0)],
        outside: Outside::Adiabatic,
        solar_absorptance: [0.0; 2],
        emissivity: [0.9; 2],
    }];
    house.floor_area_m2 = 1e-3;
    house.floor = houses::idle_floor(1e-3);
    house.heaters = Vec::new();
    house.cooler = None;
    house.gains = Gains::default();
    house.fans = Fans::default();
    house.inside_surface = SurfaceRule::Fixed {
        coefficient_w_m2k: 1e-6,
    };
    house.volume_m3 = 1000.0;
    house
}

/// A floor under outdoor air: so much of it that the house air is outdoor air. The floor gives off
/// no longwave and meets the air by a fixed coefficient.
pub fn open_room(area_m2: f64, coefficient_w_m2k: f64) -> House {
    let mut house = airy_room();
    house.floor_area_m2 = area_m2;
    house.floor = houses::idle_floor(area_m2);
    house.floor.emissivity = 0.0;
    house.inside_surface = SurfaceRule::Fixed { coefficient_w_m2k };
    house.leakage = Leakage::AirChange {
        per_hour: Setting::Constant(1e6),
    };
    house
}
