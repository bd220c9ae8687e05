//! Houses and years to shine on.

use overwinter_engine::control::{Fans, Gains, ScreenRule, Setting};
use overwinter_engine::house::{
    Below, Facet, Floor, FloorColumn, House, Layer, Leakage, Outside, OwnCoefficients, Section,
    SoilOutside, SolarOptics, Space, SurfaceRule, Wall, Wetting,
};
use overwinter_physics::cavity::iso15099::AIR;
use overwinter_weather::year::{HOURS, INSTANTS};
use overwinter_weather::{LongwaveSource, Place, Year};

/// Optics of the panes of ASHRAE Standard 140-2020, case 600: 3.048 mm clear glass.
pub(crate) const CASE_600_PANE: SolarOptics = SolarOptics::Measured {
    transmittance: 0.834,
    reflectance: 0.075,
};

pub(crate) fn facet(area_m2: f64, tilt_deg: f64, azimuth_deg: f64) -> Facet {
    Facet {
        area_m2,
        tilt_deg,
        azimuth_deg,
    }
}

pub(crate) fn layer(solar: SolarOptics) -> Layer {
    Layer {
        name: "layer".into(),
        heat_capacity_j_m2k: 300.0,
        resistance_m2k_w: 0.0,
        longwave_transmittance: 0.0,
        longwave_reflectance: 0.1,
        upper_longwave_reflectance: None,
        solar,
        haze: 0.0,
        wetting: Wetting {
            full_cover_kg_m2: 0.06,
            capacity_kg_m2: 0.08,
            drip_share: 0.3,
            light_loss: 0.1,
        },
    }
}

/// A section of layers of the given optics, from the house outwards.
pub(crate) fn section(facets: Vec<Facet>, optics: &[SolarOptics]) -> Section {
    let space = Space::Sealed {
        gap_m: 0.012,
        gas: AIR,
        bridge_w_m2k: 0.0,
    };
    Section {
        name: "section".into(),
        facets,
        layers: optics.iter().map(|solar| layer(*solar)).collect(),
        spaces: vec![space; optics.len().saturating_sub(1)],
        light_kept_share: 1.0,
        cavity_height_m: 1.0,
        screen: None,
        shading: None,
    }
}

/// The section with its innermost layer as a movable screen.
pub(crate) fn screened(mut section: Section) -> Section {
    section.screen = Some(ScreenRule {
        close_below_w_m2: 5.0,
        open_above_k: 300.0,
        needs_electricity: true,
    });
    section
}

pub(crate) fn wall(facet: Facet, inside_absorptance: f64, outside_absorptance: f64) -> Wall {
    Wall {
        name: "wall".into(),
        facet,
        solids: Vec::new(),
        outside: Outside::Open,
        solar_absorptance: [inside_absorptance, outside_absorptance],
        emissivity: [0.9, 0.9],
    }
}

pub(crate) fn house(floor_area_m2: f64, sections: Vec<Section>, walls: Vec<Wall>) -> House {
    let column = |area_m2| FloorColumn {
        area_m2,
        solids: Vec::new(),
        sideways_w_m2k: Vec::new(),
        below: Below::Adiabatic,
    };
    House {
        volume_m3: floor_area_m2 * 2.7,
        floor_area_m2,
        height_m: 2.7,
        wind_at_cover_share: 0.7,
        sections,
        walls,
        floor: Floor {
            columns: [column(floor_area_m2), column(0.0)],
            solar_absorptance: 0.8,
            emissivity: 0.95,
            wet_share: 0.0,
            soil_outside: SoilOutside {
                mean_k: 283.0,
                swing_k: 10.0,
                coldest_day: 30.0,
                diffusivity_m2_s: 6e-7,
            },
        },
        crop: None,
        mass: None,
        leakage: Leakage::AirChange {
            per_hour: Setting::Constant(0.5),
        },
        frame_shade: 0.0,
        ground_reflectance: 0.2,
        ground_reflectance_holds: false,
        inside_surface: SurfaceRule::Calculated,
        outside_surface: SurfaceRule::Calculated,
        own_coefficients: OwnCoefficients::default(),
        heat_set_k: Setting::Constant(293.15),
        heaters: Vec::new(),
        vents: None,
        cooler: None,
        fans: Fans::default(),
        gains: Gains::default(),
        inflation: None,
    }
}

/// A year with the same mild air and the same light in every hour from 6 to 18.
pub(crate) fn plain_year() -> Year {
    let by_day = |value: f64| -> Vec<f64> {
        (0..HOURS)
            .map(|hour| {
                if (6..18).contains(&(hour % 24)) {
                    value
                } else {
                    0.0
                }
            })
            .collect()
    };
    Year {
        place: Place {
            name: "plain".into(),
            region: String::new(),
            latitude_deg: 40.0,
            longitude_deg: -105.0,
            time_zone_h: -7.0,
            elevation_m: 1500.0,
            format: "made for a test".into(),
        },
        global_horizontal_w_m2: by_day(400.0),
        direct_normal_w_m2: by_day(500.0),
        diffuse_horizontal_w_m2: by_day(120.0),
        radiation_instant_h: 0.5,
        air_temp_k: vec![280.0; INSTANTS],
        dew_point_k: vec![275.0; INSTANTS],
        pressure_pa: vec![85_000.0; INSTANTS],
        wind_m_s: vec![3.0; INSTANTS],
        wind_from_deg: vec![270.0; INSTANTS],
        sky_longwave_w_m2: vec![250.0; INSTANTS],
        longwave_source: LongwaveSource::File,
        cloud_cover: None,
        snow_depth_m: None,
        ground_albedo: None,
        source_years: None,
        notes: Vec::new(),
    }
}
