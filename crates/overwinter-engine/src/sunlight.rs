//! The sun on the shell, hour by hour: light let in and heat absorbed by each part of the cover.
//!
//! Depends on the house's planes and optics and on the climate alone, and is worked out in three
//! steps that many houses can share: the light outside ([`LitHours`], once a climate), the light on
//! the planes of a shell ([`LitPlanes`], once a climate and geometry), and what the cover does with it
//! ([`LitPlanes::sunlight`]). Absent here: water and snow on the cover (the season loop takes their
//! share), and what becomes of the light that has reached the floor or lost its direction (see
//! [`crate::light_shares`]).

mod lit_hours;
mod lit_planes;
mod optics;
mod section_plan;
mod shade;

use std::sync::Arc;

use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

use crate::house::House;
pub use lit_hours::LitHours;
pub use lit_planes::{LitPlanes, ShellPlanes};
pub use optics::ShellOptics;
pub(crate) use optics::{SectionOptics, beam_kept_share, stack_optics};
use section_plan::{Block, FarSide, LIGHT_COLUMNS, STATES, SectionPlan};

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
/// Stored as one row for each hour with light, after a row of zeros for the dark. A row holds a block for every section (beam let in, diffuse let in,
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
    /// Row of each hour of the year, 0 in the dark.
    row: Arc<[u16]>,
    /// Height of the sun above the horizon in the middle of the sunlit part of each hour; 0 while
    /// it is down and in hours without light.
    pub sun_height_deg: Arc<[f64]>,
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
        hours.iter().all(|hour| self.row[*hour] == 0)
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

    /// Memory it holds, bytes.
    pub fn size_bytes(&self) -> usize {
        size_of_val(&*self.values)
    }

    #[inline]
    fn row(&self, hour: usize) -> &[f64] {
        &self.values[usize::from(self.row[hour]) * self.width..][..self.width]
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
    LitPlanes::new(&ShellPlanes::of(house), &LitHours::of(year)).sunlight(&ShellOptics::of(house))
}

impl LitPlanes {
    /// What a cover on these planes does with the light; see [`sunlight`]. The optics are those of a
    /// house with these planes.
    pub fn sunlight(&self, optics: &ShellOptics) -> Sunlight {
        let (mut width, mut first_plane) = (0, 0);
        let shell = optics.sections.iter().zip(&self.sections);
        let sections: Vec<SectionPlan> = shell
            .map(|(optics, planes)| SectionPlan::new(optics, planes, &mut width, &mut first_plane))
            .collect();
        let walls_at = width;
        let inside_at = walls_at + self.walls;
        width = inside_at + self.walls * STATES;
        let mut values = vec![0.0; (self.hours.len() + 1) * width];
        let rows = values.chunks_exact_mut(width.max(1)).skip(1);
        for (lit_hour, (light, row)) in self.hours.iter().zip(rows).enumerate() {
            for section in &sections {
                section.add_diffuse(light, row);
            }
            if light.beam_w_m2 > 0.0 {
                self.shine(lit_hour, &sections, optics, inside_at, row);
            }
            let walls = optics.walls.iter().zip(self.on_walls(lit_hour));
            for (absorbed_w, (wall, light)) in row[walls_at..inside_at].iter_mut().zip(walls) {
                *absorbed_w = wall.outside * light.outside_w;
            }
        }
        Sunlight {
            width,
            values,
            sections: sections.iter().map(|section| section.block).collect(),
            walls_at,
            walls: self.walls,
            row: Arc::clone(&self.number),
            sun_height_deg: Arc::clone(&self.sun_height_deg),
        }
    }

    /// Adds the beam of a lit hour to its row.
    fn shine(
        &self,
        lit_hour: usize,
        sections: &[SectionPlan],
        optics: &ShellOptics,
        inside_at: usize,
        row: &mut [f64],
    ) {
        let light = &self.hours[lit_hour];
        let facings = self.facings(light);
        let on_walls = self.on_walls(lit_hour);
        let far_side = FarSide::new(sections, &optics.walls, light, facings, on_walls);
        let mut crossed_w = [0.0; STATES];
        for section in sections {
            section.add_beam(light.beam_w_m2, facings, &far_side, row, &mut crossed_w);
        }
        if far_side.crossing_share > 0.0 {
            for section in sections {
                section.add_crossed(facings, &far_side, row, &crossed_w);
            }
            far_side.warm_walls(&optics.walls, on_walls, &mut row[inside_at..], &crossed_w);
        }
    }
}
