//! Reference houses. Sizes and properties are round and made up: they stand for no house and no
//! product, and the tests compare two ways of computing the same house, never a house with a
//! measured one.

use overwinter_engine::control::{Cooler, Fans, Gains, Heater, ScreenRule, Setting, Vents};
use overwinter_engine::house::{
    Below, Crop, Facet, Floor, FloorColumn, House, Layer, Leakage, Outside, OwnCoefficients,
    Section, SoilOutside, SolarOptics, Solid, Space, SurfaceRule, ThermalMass, Wall, Wetting,
};
use overwinter_engine::shape::{Envelope, Profile, Shape};
use overwinter_physics::cavity::iso15099::AIR;
use overwinter_physics::moist_air;

/// 0 C.
const ZERO_C_K: f64 = 273.15;

/// An inflated pair of clear films over roof and sides, single film at the ends, a crop, vents,
/// held at 5 C.
pub fn inflated_pair() -> House {
    film_house(2, 5.0, 80e3)
}

/// The same house under one film.
pub fn single_film() -> House {
    film_house(1, 5.0, 140e3)
}

/// A small tunnel of two films without a heater.
pub fn unheated_tunnel() -> House {
    let envelope = envelope(Profile::Round, [6.0, 20.0, 0.6, 2.8]);
    let mut house = film_house_of(&envelope, 2.8, 2);
    house.heaters = Vec::new();
    house
}

/// The inflated pair with a closing screen beneath it, held at 15 C.
pub fn pair_with_screen() -> House {
    let mut house = film_house(2, 15.0, 150e3);
    let cloth = Layer {
        name: "cloth".to_owned(),
        heat_capacity_j_m2k: 150.0,
        resistance_m2k_w: 0.0,
        longwave_transmittance: 0.1,
        longwave_reflectance: 0.4,
        upper_longwave_reflectance: None,
        solar: SolarOptics::Diffusing {
            transmittance: 0.4,
            reflectance: 0.4,
        },
        haze: 1.0,
        wetting: WETTING,
    };
    let roof = &mut house.sections[0];
    roof.layers.insert(0, cloth);
    roof.spaces.insert(
        0,
        Space::AboveScreen {
            gap_m: 0.5,
            leakage_m3_s_m2_k066: 1e-4,
            open_flow_m3_s_m2: 0.05,
        },
    );
    roof.screen = Some(ScreenRule {
        close_below_w_m2: 10.0,
        open_above_k: ZERO_C_K + 12.0,
        needs_electricity: true,
    });
    house
}

/// A room of light opaque walls with a window of two panes to the south, heated and cooled.
pub fn light_room() -> House {
    let [wide, deep, high] = [7.0, 5.0, 2.6];
    let window_m2 = 8.0;
    let wall = |name: &str, area_m2: f64, tilt_deg: f64, azimuth_deg: f64| Wall {
        name: name.to_owned(),
        facet: Facet {
            area_m2,
            tilt_deg,
            azimuth_deg,
        },
        solids: vec![
            solid(0.012, 0.16, 0.8e6),
            solid(0.10, 0.04, 0.012e6),
            solid(0.02, 0.14, 0.5e6),
        ],
        outside: Outside::Open,
        solar_absorptance: [0.6; 2],
        emissivity: [0.9; 2],
    };
    let pane = Layer {
        name: "pane".to_owned(),
        heat_capacity_j_m2k: 8000.0,
        resistance_m2k_w: 0.0,
        longwave_transmittance: 0.0,
        longwave_reflectance: 0.16,
        upper_longwave_reflectance: None,
        solar: SolarOptics::Slab {
            refractive_index: 1.526,
            extinction_thickness: 0.05,
        },
        haze: 0.0,
        wetting: WETTING,
    };
    let floor_m2 = wide * deep;
    House {
        volume_m3: floor_m2 * high,
        floor_area_m2: floor_m2,
        height_m: high,
        wind_at_cover_share: 0.7,
        sections: vec![Section {
            name: "window".to_owned(),
            facets: vec![Facet {
                area_m2: window_m2,
                tilt_deg: 90.0,
                azimuth_deg: 180.0,
            }],
            layers: vec![pane.clone(), pane],
            spaces: vec![Space::Sealed {
                gap_m: 0.012,
                gas: AIR,
                bridge_w_m2k: 0.0,
            }],
            light_kept_share: 1.0,
            cavity_height_m: 2.0,
            screen: None,
            shading: None,
        }],
        walls: vec![
            wall("north", wide * high, 90.0, 0.0),
            wall("east", deep * high, 90.0, 90.0),
            wall("south", wide * high - window_m2, 90.0, 180.0),
            wall("west", deep * high, 90.0, 270.0),
            wall("roof", floor_m2, 0.0, 0.0),
        ],
        floor: Floor {
            columns: [
                FloorColumn {
                    area_m2: floor_m2,
                    solids: vec![solid(0.03, 0.14, 0.8e6), solid(0.2, 0.04, 0.02e6)],
                    sideways_w_m2k: vec![0.0; 2],
                    below: Below::OutdoorAir {
                        coefficient_w_m2k: 10.0,
                    },
                },
                absent_column(),
            ],
            solar_absorptance: 0.6,
            emissivity: 0.9,
            wet_share: 0.0,
            soil_outside: SOIL_OUTSIDE,
        },
        crop: None,
        mass: None,
        leakage: Leakage::AirChange {
            per_hour: Setting::Constant(0.4),
        },
        frame_shade: 0.0,
        ground_reflectance: 0.2,
        ground_reflectance_holds: false,
        inside_surface: SurfaceRule::Calculated,
        outside_surface: SurfaceRule::Calculated,
        own_coefficients: OwnCoefficients::default(),
        heat_set_k: Setting::Constant(ZERO_C_K + 20.0),
        heaters: vec![heater(8e3)],
        vents: None,
        cooler: Some(Cooler {
            set_k: Setting::Constant(ZERO_C_K + 27.0),
            capacity_w: 8e3,
            band_k: 1.0,
        }),
        fans: Fans::default(),
        gains: Gains {
            convective_w: Setting::Constant(80.0),
            radiant_w: Setting::Constant(120.0),
            ventilation_m3_s: Setting::Constant(0.0),
        },
        inflation: None,
    }
}

/// The house of a film layer count, hold temperature and heater output that the others vary.
pub fn film_house(layers: usize, hold_c: f64, heater_w: f64) -> House {
    let envelope = envelope(Profile::Gothic, [9.0, 30.0, 1.5, 4.2]);
    let mut house = film_house_of(&envelope, 4.2, layers);
    house.heat_set_k = Setting::Constant(ZERO_C_K + hold_c);
    house.heaters = vec![heater(heater_w)];
    house
}

/// A heater with a band of 1 K that warms the air alone.
pub fn heater(output_w: f64) -> Heater {
    Heater {
        name: "unit".to_owned(),
        output_w,
        efficiency: 0.8,
        fuel: "propane".to_owned(),
        electric_w: 300.0,
        needs_electricity: true,
        offset_k: 0.0,
        band_k: 1.0,
        convective_share: 1.0,
        water_kg_j: 0.0,
    }
}

/// A clear film.
pub fn film() -> Layer {
    Layer {
        name: "film".to_owned(),
        heat_capacity_j_m2k: 320.0,
        resistance_m2k_w: 0.0,
        longwave_transmittance: 0.7,
        longwave_reflectance: 0.08,
        upper_longwave_reflectance: None,
        solar: SolarOptics::Slab {
            refractive_index: 1.51,
            extinction_thickness: 0.025,
        },
        haze: 0.3,
        wetting: WETTING,
    }
}

/// A film that lets no longwave through.
pub fn opaque_film() -> Layer {
    Layer {
        longwave_transmittance: 0.0,
        longwave_reflectance: 0.1,
        ..film()
    }
}

/// One layer of a solid.
pub fn solid(thickness_m: f64, conductivity_w_mk: f64, heat_capacity_j_m3k: f64) -> Solid {
    Solid {
        thickness_m,
        conductivity_w_mk,
        heat_capacity_j_m3k,
        freezing_heat_j_m3: 0.0,
    }
}

/// A column with no area, for a house whose floor is all of one kind.
pub fn absent_column() -> FloorColumn {
    FloorColumn {
        area_m2: 0.0,
        solids: vec![solid(0.1, 1.0, 1e6)],
        sideways_w_m2k: vec![0.0],
        below: Below::Adiabatic,
    }
}

/// A floor that takes up no heat, for houses of which only the shell matters: a thin solid with
/// nothing below.
pub fn idle_floor(area_m2: f64) -> Floor {
    Floor {
        columns: [
            FloorColumn {
                area_m2,
                solids: vec![solid(0.01, 1.0, 1e5)],
                sideways_w_m2k: vec![0.0],
                below: Below::Adiabatic,
            },
            absent_column(),
        ],
        solar_absorptance: 0.0,
        emissivity: 0.9,
        wet_share: 0.0,
        soil_outside: SOIL_OUTSIDE,
    }
}

/// Takes away everything that carries water or lets air in: no crop, dry floor, no leaks, no vents.
pub fn dry_and_tight(mut house: House) -> House {
    house.crop = None;
    house.floor.wet_share = 0.0;
    house.leakage = Leakage::AirChange {
        per_hour: Setting::Constant(0.0),
    };
    house.vents = None;
    house
}

/// A mass of water in barrels.
pub fn barrels() -> ThermalMass {
    ThermalMass {
        heat_capacity_j_k: 4.2e6,
        // A tonne of water.
        freezing_heat_j: 334e6,
        area_m2: 8.0,
        coefficient_w_m2k: 4.0,
        emissivity: 0.9,
        solar_absorptance: 0.8,
    }
}

/// Water vapour that air holds at most, kg/m3.
pub fn saturated_kg_m3(temp_k: f64) -> f64 {
    moist_air::saturation_vapour_density(temp_k).0
}

/// Water on a film with an anti-drip coating: round values in the range of common practice.
const WETTING: Wetting = Wetting {
    full_cover_kg_m2: 0.03,
    capacity_kg_m2: 0.08,
    drip_share: 0.3,
    light_loss: 0.1,
};

/// The soil outside: round values.
const SOIL_OUTSIDE: SoilOutside = SoilOutside {
    mean_k: ZERO_C_K + 10.0,
    swing_k: 12.0,
    coldest_day: 30.0,
    diffusivity_m2_s: 6e-7,
};

fn envelope(profile: Profile, [width_m, length_m, side_m, ridge_m]: [f64; 4]) -> Envelope {
    let shape = Shape {
        profile,
        width_m,
        length_m,
        side_wall_height_m: side_m,
        ridge_height_m: ridge_m,
        ridge_azimuth_deg: 0.0,
    };
    shape.envelope().expect("the reference shapes are sound")
}

fn film_house_of(envelope: &Envelope, height_m: f64, layers: usize) -> House {
    House {
        volume_m3: envelope.volume_m3,
        floor_area_m2: envelope.floor_area_m2,
        height_m,
        wind_at_cover_share: 0.7,
        sections: vec![
            film_section("roof", envelope.roof_and_sides(), layers),
            film_section("ends", envelope.ends.to_vec(), 1),
        ],
        walls: Vec::new(),
        floor: ground(envelope),
        crop: Some(crop()),
        mass: None,
        leakage: Leakage::Area {
            area_cm2: 2000.0,
            stack: 1.45e-4,
            wind: 2.0e-4,
        },
        frame_shade: 0.06,
        ground_reflectance: 0.2,
        ground_reflectance_holds: false,
        inside_surface: SurfaceRule::Calculated,
        outside_surface: SurfaceRule::Calculated,
        own_coefficients: OwnCoefficients::default(),
        heat_set_k: Setting::Constant(ZERO_C_K + 5.0),
        heaters: Vec::new(),
        vents: Some(Vents {
            set_k: Setting::Constant(ZERO_C_K + 24.0),
            band_k: 3.0,
            area_m2: envelope.floor_area_m2 * 0.15,
            stack_height_m: 2.0,
            discharge: 0.6,
            wind: 0.09,
            fan_flow_m3_s: 0.0,
            fan_electric_w: 0.0,
        }),
        cooler: None,
        fans: Fans {
            circulation_w: 0.0,
            blower_w: 60.0,
            air_speed_m_s: 0.2,
        },
        gains: Gains::default(),
        inflation: None,
    }
}

fn film_section(name: &str, facets: Vec<Facet>, layers: usize) -> Section {
    Section {
        name: name.to_owned(),
        facets,
        layers: vec![film(); layers],
        spaces: vec![
            Space::Inflated {
                gap_m: 0.1,
                flow_m3_s_m2: 5e-5,
                inside_air: false,
            };
            layers - 1
        ],
        light_kept_share: 0.95,
        cavity_height_m: 3.0,
        screen: None,
        shading: None,
    }
}

fn ground(envelope: &Envelope) -> Floor {
    let strip_m2 = envelope.perimeter_m;
    let column = |area_m2: f64, sideways_w_mk: f64| {
        let thicknesses_m = [0.02, 0.04, 0.08, 0.16, 0.3, 0.6, 1.0];
        FloorColumn {
            area_m2,
            solids: thicknesses_m
                .iter()
                .map(|t| Solid {
                    // A quarter of the volume is water.
                    freezing_heat_j_m3: 83e6,
                    ..solid(*t, 1.4, 2.2e6)
                })
                .collect(),
            sideways_w_m2k: thicknesses_m.iter().map(|t| sideways_w_mk * t).collect(),
            below: Below::DeepSoil {
                mean_k: ZERO_C_K + 10.0,
                swing_k: 4.0,
                coldest_day: 70.0,
                resistance_m2k_w: 0.0,
            },
        }
    };
    Floor {
        columns: [
            column(envelope.floor_area_m2 - strip_m2, 0.0),
            column(strip_m2, 1.4),
        ],
        solar_absorptance: 0.8,
        emissivity: 0.95,
        wet_share: 0.2,
        soil_outside: SOIL_OUTSIDE,
    }
}

fn crop() -> Crop {
    Crop {
        leaf_area_index: 2.0,
        floor_share: 0.6,
        heat_capacity_j_m2k: 6000.0,
        extinction: 0.75,
        solar_absorptance: 0.7,
        emissivity: 0.95,
        boundary_resistance_s_m: 200.0,
        least_resistance_s_m: 82.0,
        night_resistance_s_m: 1500.0,
    }
}
