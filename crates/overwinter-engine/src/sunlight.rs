//! The sun on the shell, hour by hour: light let in and heat absorbed by each part of the cover.
//!
//! Depends on the house's planes and optics and on the climate alone, so it is computed once for
//! both. Absent here: water and snow on the cover (the season loop takes their share), and what
//! becomes of the light that has reached the floor or lost its direction (see
//! [`crate::light_shares`]).

mod hour_light;
mod optics;
mod section_plan;
mod shade;

use overwinter_physics::sun::{SunHour, SunYear};
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

use crate::house::House;
use hour_light::{Facing, HourLight, WallPlan};
pub(crate) use optics::{beam_kept_share, lit_layers, stack_optics};
use section_plan::{Block, Crossing, LIGHT_COLUMNS, STATES, SectionPlan};

/// What one section does with the sun, W on the whole section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionLight<'a> {
    /// Light let in that keeps the direction of the sun and meets the floor first.
    pub beam_w: f64,
    /// Other light let in: from all over, scattered on the way in, or thrown back by the far side
    /// of the house. A beam that crosses the house and leaves on the far side is in neither.
    pub diffuse_w: f64,
    /// Heat absorbed in each layer, from the house outwards; 0 for an open screen.
    pub absorbed_w: &'a [f64],
}

/// The sun on a house over a year.
///
/// Stored as one row an hour. A row holds a block for every section (beam let in, diffuse let in,
/// heat absorbed in each layer), a second such block for the closed screen where the section has
/// one, then the heat absorbed outside by each wall, and then, for open and for closed screens, what
/// the inner face of each wall absorbs of beams that have crossed the house.
#[derive(Clone, Debug)]
pub struct Sunlight {
    width: usize,
    values: Vec<f64>,
    sections: Vec<Block>,
    walls_at: usize,
    walls: usize,
    lit: Vec<bool>,
    /// Height of the sun above the horizon in the middle of the sunlit part of each hour; 0 while
    /// it is down and in hours without light.
    pub sun_height_deg: Vec<f64>,
}

/// The sun on a house in an hour or at an instant.
#[derive(Clone, Copy, Debug)]
pub struct LightRow<'a> {
    sunlight: &'a Sunlight,
    values: &'a [f64],
}

impl<'a> LightRow<'a> {
    /// What a section does with the sun, its screen open or closed; without a screen both are the
    /// same. Panics if there is no such section.
    #[inline]
    pub fn section(&self, section: usize, screen_closed: bool) -> SectionLight<'a> {
        let block = self.sunlight.sections[section];
        let start = block.at[usize::from(screen_closed)];
        let values = &self.values[start..start + LIGHT_COLUMNS + block.layers];
        SectionLight {
            beam_w: values[0],
            diffuse_w: values[1],
            absorbed_w: &values[LIGHT_COLUMNS..],
        }
    }

    /// Heat that the outer face of each wall absorbs, W on the whole wall.
    #[inline]
    pub fn walls_w(&self) -> &'a [f64] {
        &self.values[self.sunlight.walls_at..][..self.sunlight.walls]
    }

    /// Heat that the inner face of each wall absorbs of beams that meet it first, with the screens
    /// open or closed, W on the whole wall.
    #[inline]
    pub fn walls_inside_w(&self, screen_closed: bool) -> &'a [f64] {
        let Sunlight {
            walls_at, walls, ..
        } = *self.sunlight;
        let start = walls_at + walls * (1 + usize::from(screen_closed));
        &self.values[start..start + walls]
    }
}

impl Sunlight {
    /// The mean over an hour. Panics if there is no such hour.
    #[inline]
    pub fn hour(&self, hour: usize) -> LightRow<'_> {
        LightRow {
            sunlight: self,
            values: self.row(hour),
        }
    }

    /// The sun `share` (0 to 1) of the way through an hour, in `row`.
    ///
    /// Straight lines from hour mark to half hour to hour mark. A mark takes the mean of its two
    /// hours, but no more than twice the smaller; the half hour takes what keeps the mean of the
    /// hour. So the light is continuous, never negative, and every hour keeps its energy. A file
    /// gives means over hours; taken as steps they would jump at every hour mark, which no sun does
    /// and which costs a second-order step its order.
    #[inline]
    pub fn instant<'a>(&'a self, hour: usize, share: f64, row: &'a mut Vec<f64>) -> LightRow<'a> {
        let last = HOURS - 1;
        let before = self.row(if hour == 0 { last } else { hour - 1 });
        let now = self.row(hour);
        let after = self.row(if hour == last { 0 } else { hour + 1 });
        // `f64::min` would take more instructions, to sort out NaN.
        let least = |a: f64, b: f64| if a < b { a } else { b };
        let mark = |a: f64, b: f64| least((a + b) / 2.0, 2.0 * least(a, b));
        let second = share > 0.5;
        let along = if second {
            2.0 * share - 1.0
        } else {
            2.0 * share
        };
        row.resize(self.width, 0.0);
        for (light, ((before, now), after)) in row.iter_mut().zip(before.iter().zip(now).zip(after))
        {
            let (start, end) = (mark(*before, *now), mark(*now, *after));
            let half = 2.0 * now - (start + end) / 2.0;
            let (from, to) = if second { (half, end) } else { (start, half) };
            *light = from + (to - from) * along;
        }
        LightRow {
            sunlight: self,
            values: row,
        }
    }

    /// True if no light falls in this hour or in those beside it.
    #[inline]
    pub fn is_dark_around(&self, hour: usize) -> bool {
        let hours = [(hour + HOURS - 1) % HOURS, hour, (hour + 1) % HOURS];
        hours.iter().all(|hour| !self.lit[*hour])
    }

    /// What a section does with the sun in an hour; see [`LightRow::section`].
    #[inline]
    pub fn section(&self, hour: usize, section: usize, screen_closed: bool) -> SectionLight<'_> {
        self.hour(hour).section(section, screen_closed)
    }

    /// Heat that the outer face of each wall absorbs in an hour; see [`LightRow::walls_w`].
    #[inline]
    pub fn walls_w(&self, hour: usize) -> &[f64] {
        self.hour(hour).walls_w()
    }

    /// What inner faces of walls absorb of beams in an hour; see [`LightRow::walls_inside_w`].
    #[inline]
    pub fn walls_inside_w(&self, hour: usize, screen_closed: bool) -> &[f64] {
        self.hour(hour).walls_inside_w(screen_closed)
    }

    fn row(&self, hour: usize) -> &[f64] {
        &self.values[hour * self.width..(hour + 1) * self.width]
    }
}

/// Computes the sun on every plane of a house for a year.
///
/// The sky is that of Perez et al. (1990): its even part and its band at the horizon come in as
/// diffuse light, its part around the sun as a beam. Dirt turns `1 - light_kept_share` of the light
/// back before it meets the cover. Ground reflectance is the house's where
/// that holds all year, else that of the year where it has it, else that of snow under more than
/// 5 cm of it, else the house's.
///
/// The floor cannot meet more of a beam than falls on its area: of what comes in, the share
///
/// ```text
/// floor area sin(sun height) / sum of area cos(incidence) of the lit cover,  at most 1
/// ```
///
/// lands there. The rest crosses to the sides that face away from the sun, where each part of the
/// cover lets out, absorbs and throws back its share at its own angle, and walls absorb and throw back
/// theirs.
pub fn sunlight(house: &House, year: &Year) -> Sunlight {
    let mut width = 0;
    let mut planes = 0;
    let sections: Vec<SectionPlan> = house
        .sections
        .iter()
        .map(|section| SectionPlan::new(section, &mut width, &mut planes))
        .collect();
    let walls_at = width;
    let walls: Vec<WallPlan> = house.walls.iter().map(WallPlan::new).collect();
    width += walls.len() * (1 + STATES);

    let place = &year.place;
    let sun_year = SunYear::new(place.latitude_deg, place.longitude_deg, place.time_zone_h);
    let mut values = vec![0.0; HOURS * width];
    let mut sun_height_deg = vec![0.0; HOURS];
    let mut lit = vec![false; HOURS];
    let mut facings = Vec::new();
    for (hour, height_deg) in sun_height_deg.iter_mut().enumerate() {
        let sun = || sun_of_hour(&sun_year, year, hour);
        let Some(light) = HourLight::new(year, hour, sun, house) else {
            continue;
        };
        *height_deg = light.sun_height_deg();
        lit[hour] = true;
        let row = &mut values[hour * width..(hour + 1) * width];
        for section in &sections {
            section.add_diffuse(&light, row);
        }
        if light.beam_w_m2 > 0.0 {
            facings.clear();
            let planes = sections.iter().flat_map(|section| &section.planes);
            facings.extend(planes.map(|plane| light.facing(plane)));
            shine_on_sections(
                &sections,
                &walls,
                house.floor_area_m2,
                &light,
                &facings,
                walls_at + walls.len(),
                row,
            );
        }
        for (wall, absorbed_w) in walls.iter().zip(&mut row[walls_at..walls_at + walls.len()]) {
            *absorbed_w = wall.absorbed_w(&light);
        }
    }
    Sunlight {
        width,
        values,
        sections: sections.iter().map(|section| section.block).collect(),
        walls_at,
        walls: walls.len(),
        lit,
        sun_height_deg,
    }
}

fn sun_of_hour(sun_year: &SunYear, year: &Year, hour: usize) -> SunHour {
    if (year.radiation_instant_h - 0.5).abs() < 1e-6 {
        sun_year.mean_of_hour(hour)
    } else {
        sun_year.at_instant(hour, year.radiation_instant_h)
    }
}

fn shine_on_sections(
    sections: &[SectionPlan],
    walls: &[WallPlan],
    floor_area_m2: f64,
    light: &HourLight,
    facings: &[Facing],
    inside_at: usize,
    row: &mut [f64],
) {
    let crossing = Crossing::new(sections, walls, floor_area_m2, light, facings);
    let mut crossed_w = [0.0; STATES];
    for section in sections {
        section.add_beam(light, facings, &crossing, row, &mut crossed_w);
    }
    if crossing.share > 0.0 {
        for section in sections {
            section.add_crossed(facings, &crossing, row, &crossed_w);
        }
        crossing.warm_walls(walls, light, &mut row[inside_at..], &crossed_w);
    }
}
