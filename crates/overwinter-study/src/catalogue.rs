//! Generic covers, fuels, crops, soils and heaters, built in as data files in which every figure has
//! a range and a source.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use overwinter_units::{Range, range};

use crate::document::{Entry as TreeEntry, Node, Value, parse};

/// A figure of the catalogue, in the base unit of its kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Likely value.
    pub value: f64,
    /// Low end of the range.
    pub low: f64,
    /// High end of the range.
    pub high: f64,
    /// The likely value as written, with its unit.
    pub written: String,
    /// Where it comes from.
    pub source: String,
}

/// An entry of the catalogue.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entry {
    /// Name by which scenarios refer to it.
    pub name: String,
    /// What it is, in one line.
    pub about: String,
    /// Its figures by key.
    pub figures: BTreeMap<String, Figure>,
    /// Words by key (names of other entries, kinds, units).
    pub words: BTreeMap<String, String>,
    /// Yes or no by key.
    pub flags: BTreeMap<String, bool>,
    /// Lists of words by key.
    pub lists: BTreeMap<String, Vec<String>>,
    /// Parts that have no name of their own in scenarios: spaces of a cover, limits of a crop.
    pub parts: Vec<Entry>,
}

/// The whole catalogue.
#[derive(Clone, Debug, Default)]
pub struct Catalogue {
    entries: BTreeMap<&'static str, Vec<Entry>>,
    /// What could not be read; empty in any released build.
    pub problems: Vec<String>,
}

/// A data file, the lists in it, and the range of every figure by key.
struct Source {
    text: &'static str,
    lists: &'static [(&'static str, &'static [(&'static str, &'static Range)])],
}

const LAYER: &[(&str, &Range)] = &[
    ("heat_capacity", &range::LAYER_HEAT),
    ("longwave_transmittance", &range::TRANSMITTANCE),
    ("longwave_reflectance", &range::REFLECTANCE),
    ("refractive_index", &range::REFRACTIVE_INDEX),
    ("extinction_thickness", &range::EXTINCTION_THICKNESS),
    ("transmittance", &range::TRANSMITTANCE),
    ("reflectance", &range::REFLECTANCE),
    ("haze", &range::SHARE),
];
const WATER: &[(&str, &Range)] = &[
    ("full_cover", &range::WATER_FILM),
    ("capacity", &range::WATER_FILM),
    ("drip_share", &range::SHARE),
    ("light_loss", &range::SHARE),
];
const COVER: &[(&str, &Range)] = &[("gap", &range::GAP), ("bridge", &range::BRIDGE)];
const HANDBOOK: &[(&str, &Range)] = &[("u", &range::U_VALUE)];
const SCREEN: &[(&str, &Range)] = &[
    ("heat_capacity", &range::LAYER_HEAT),
    ("longwave_transmittance", &range::TRANSMITTANCE),
    ("longwave_reflectance", &range::REFLECTANCE),
    ("transmittance", &range::TRANSMITTANCE),
    ("reflectance", &range::REFLECTANCE),
    ("leakage", &range::SCREEN_LEAK),
];
const FUEL: &[(&str, &Range)] = &[
    ("energy_per_unit", &range::FUEL_ENERGY),
    ("carbon_dioxide", &range::CARBON_DIOXIDE),
    ("methane", &range::METHANE),
    ("nitrous_oxide", &range::NITROUS_OXIDE),
    ("water_made", &range::WATER_PER_HEAT),
];
const HEATER: &[(&str, &Range)] = &[
    ("efficiency", &range::EFFICIENCY),
    ("electric_share", &range::SHARE),
    ("convective_share", &range::SHARE),
];
const SOLID: &[(&str, &Range)] = &[
    ("conductivity", &range::CONDUCTIVITY),
    ("heat_capacity", &range::VOLUMETRIC_HEAT),
    ("water", &range::SOLID_WATER),
];
const CROP: &[(&str, &Range)] = &[
    ("leaf_area_index", &range::LEAF_AREA_INDEX),
    ("floor_share", &range::CROP_FLOOR_SHARE),
    ("heat_capacity", &range::CROP_HEAT),
    ("extinction", &range::CANOPY_EXTINCTION),
    ("solar_absorptance", &range::ABSORPTANCE),
    ("emissivity", &range::EMISSIVITY),
    ("boundary_resistance", &range::LEAF_RESISTANCE),
    ("least_resistance", &range::LEAF_RESISTANCE),
    ("night_resistance", &range::LEAF_RESISTANCE),
    ("night_temp", &range::SET_POINT),
    ("temp", &range::FROST_LIMIT),
    ("lag", &range::FROST_LAG),
    ("half_damage", &range::FROST_LIMIT),
    ("damage_slope", &range::DOSE_SLOPE),
];
const INTERRUPTION: &[(&str, &Range)] = &[
    ("all_events", &range::INTERRUPTION),
    ("without_major_events", &range::INTERRUPTION),
];

const SOURCES: &[Source] = &[
    Source {
        text: include_str!("../catalogue/layers.toml"),
        lists: &[("layer", LAYER), ("water", WATER)],
    },
    Source {
        text: include_str!("../catalogue/covers.toml"),
        lists: &[("cover", COVER)],
    },
    Source {
        text: include_str!("../catalogue/handbook.toml"),
        lists: &[("handbook", HANDBOOK)],
    },
    Source {
        text: include_str!("../catalogue/screens.toml"),
        lists: &[("screen", SCREEN)],
    },
    Source {
        text: include_str!("../catalogue/fuels.toml"),
        lists: &[("fuel", FUEL)],
    },
    Source {
        text: include_str!("../catalogue/heaters.toml"),
        lists: &[("heater", HEATER)],
    },
    Source {
        text: include_str!("../catalogue/tightness.toml"),
        lists: &[
            ("tightness", &[("leak_per_cover", &range::LEAK_PER_COVER)]),
            ("shelter", &[("wind_coefficient", &range::WIND_COEFFICIENT)]),
        ],
    },
    Source {
        text: include_str!("../catalogue/solids.toml"),
        lists: &[("solid", SOLID)],
    },
    Source {
        text: include_str!("../catalogue/crops.toml"),
        lists: &[("crop", CROP)],
    },
    Source {
        text: include_str!("../catalogue/outage_lengths.toml"),
        lists: &[("interruption", INTERRUPTION)],
    },
];

/// The built-in catalogue.
pub fn catalogue() -> &'static Catalogue {
    static BUILT_IN: LazyLock<Catalogue> = LazyLock::new(|| {
        let mut catalogue = Catalogue::default();
        for source in SOURCES {
            catalogue.take(source);
        }
        catalogue
    });
    &BUILT_IN
}

impl Catalogue {
    /// The entries of a list: layer, water, cover, handbook, screen, fuel, heater, tightness,
    /// shelter, solid, crop or interruption.
    pub fn list(&self, list: &str) -> &[Entry] {
        self.entries.get(list).map_or(&[], Vec::as_slice)
    }

    /// An entry by list and name.
    pub fn entry(&self, list: &str, name: &str) -> Option<&Entry> {
        self.list(list).iter().find(|entry| entry.name == name)
    }

    /// Names of the entries of a list, in its order.
    pub fn names(&self, list: &str) -> Vec<String> {
        let entries = self.list(list).iter();
        entries.map(|entry| entry.name.clone()).collect()
    }

    /// The lists of the catalogue with their entries, in alphabetical order.
    pub fn lists(&self) -> impl Iterator<Item = (&'static str, &[Entry])> {
        self.entries
            .iter()
            .map(|(list, entries)| (*list, entries.as_slice()))
    }

    fn take(&mut self, source: &Source) {
        let document = match parse(source.text) {
            Ok(document) => document,
            Err(problems) => {
                self.problems
                    .extend(problems.iter().map(ToString::to_string));
                return;
            }
        };
        for (list, ranges) in source.lists {
            let items = items_of(&document, list);
            let entries = items.iter().map(|item| self.read(item, ranges)).collect();
            self.entries.insert(list, entries);
        }
    }

    fn read(&mut self, item: &Node, ranges: &[(&str, &Range)]) -> Entry {
        let mut entry = Entry::default();
        let Value::Table(fields) = &item.value else {
            return entry;
        };
        for field in fields {
            let key = field.key.clone();
            match &field.node.value {
                Value::Text(text) if key == "name" => entry.name.clone_from(text),
                Value::Text(text) if key == "about" => entry.about.clone_from(text),
                Value::Text(text) => drop(entry.words.insert(key, text.clone())),
                Value::Flag(flag) => drop(entry.flags.insert(key, *flag)),
                Value::Table(figure) => match figure_of(&key, figure, ranges) {
                    Some(figure) => drop(entry.figures.insert(key, figure)),
                    None => self.problems.push(format!("{}: {key}", entry.name)),
                },
                Value::List(list)
                    if matches!(list.first().map(|n| &n.value), Some(Value::Text(_))) =>
                {
                    let words = list.iter().filter_map(|node| text_of(&node.value));
                    entry.lists.insert(key, words.collect());
                }
                Value::List(list) => {
                    entry.parts = list.iter().map(|part| self.read(part, ranges)).collect();
                }
                Value::Number(_) | Value::Date(_) => {
                    self.problems
                        .push(format!("{}: {key} has no source", entry.name));
                }
            }
        }
        entry
    }
}

impl Entry {
    /// A figure by key.
    pub fn figure(&self, key: &str) -> Option<&Figure> {
        self.figures.get(key)
    }

    /// A word by key, empty if there is none.
    pub fn word(&self, key: &str) -> &str {
        self.words.get(key).map_or("", String::as_str)
    }

    /// Yes or no by key, no if there is none.
    pub fn flag(&self, key: &str) -> bool {
        self.flags.get(key).copied().unwrap_or(false)
    }
}

fn items_of<'a>(document: &'a Node, list: &str) -> &'a [Node] {
    let Value::Table(entries) = &document.value else {
        return &[];
    };
    match entries
        .iter()
        .find(|entry| entry.key == list)
        .map(|entry| &entry.node.value)
    {
        Some(Value::List(items)) => items,
        _ => &[],
    }
}

fn figure_of(key: &str, fields: &[TreeEntry], ranges: &[(&str, &Range)]) -> Option<Figure> {
    let (_, range) = ranges.iter().find(|(known, _)| *known == key)?;
    let field = |name: &str| {
        fields
            .iter()
            .find(|field| field.key == name)
            .map(|f| &f.node.value)
    };
    let number = |name: &str| match field(name)? {
        Value::Text(text) => range.parse(text).ok(),
        Value::Number(number) if range.kind.allows_bare_number() => range.check(*number).ok(),
        _ => None,
    };
    Some(Figure {
        value: number("value")?,
        low: number("low")?,
        high: number("high")?,
        written: match field("value")? {
            Value::Text(text) => text.clone(),
            other => other.written(),
        },
        source: text_of(field("source")?)?,
    })
}

fn text_of(value: &Value) -> Option<String> {
    match value {
        Value::Text(text) => Some(text.clone()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn every_entry() -> Vec<(String, &'static Entry)> {
        let whole = catalogue().lists().flat_map(|(list, entries)| {
            entries
                .iter()
                .map(move |entry| (format!("{list} {}", entry.name), entry))
        });
        let with_parts = whole.flat_map(|(name, entry)| {
            let parts = entry
                .parts
                .iter()
                .map(|part| (format!("{name}, part {}", part.name), part));
            std::iter::once((name.clone(), entry)).chain(parts.collect::<Vec<_>>())
        });
        with_parts.collect()
    }

    #[test]
    fn every_file_is_read_without_a_problem() {
        assert_eq!(catalogue().problems, Vec::<String>::new());
        let lists: Vec<_> = catalogue()
            .lists()
            .map(|(list, entries)| (list, entries.len()))
            .collect();
        assert_eq!(lists.len(), 12);
        assert!(lists.iter().all(|(_, count)| *count >= 3), "{lists:?}");
    }

    #[test]
    fn every_figure_has_a_source_and_lies_in_its_range() {
        let mut count = 0;
        for (name, entry) in every_entry() {
            for (key, figure) in &entry.figures {
                count += 1;
                assert!(figure.source.len() > 5, "{name}: {key} has no source");
                let ordered = figure.low <= figure.value && figure.value <= figure.high;
                assert!(ordered, "{name}: {key} is outside its own range");
            }
        }
        assert!(count > 200, "{count}");
    }

    #[test]
    fn names_are_unique_and_described() {
        for (list, entries) in catalogue().lists() {
            for (index, entry) in entries.iter().enumerate() {
                assert!(!entry.about.is_empty(), "{list} {}", entry.name);
                let again = entries[index + 1..]
                    .iter()
                    .any(|other| other.name == entry.name);
                assert!(!again, "{list} {}", entry.name);
            }
        }
    }

    #[test]
    fn entries_refer_to_entries_that_exist() {
        let known = |list: &str, name: &str| catalogue().entry(list, name).is_some();
        for cover in catalogue().list("cover") {
            let layers = &cover.lists["layers"];
            assert!(
                layers.iter().all(|layer| known("layer", layer)),
                "{}",
                cover.name
            );
            assert_eq!(cover.parts.len() + 1, layers.len(), "{}", cover.name);
        }
        for layer in catalogue().list("layer") {
            assert!(known("water", layer.word("water")), "{}", layer.name);
        }
        for printed in catalogue().list("handbook") {
            let covers = &printed.lists["covers"];
            assert!(
                covers.iter().all(|cover| known("cover", cover)),
                "{}",
                printed.name
            );
        }
    }

    #[test]
    fn every_crop_is_lost_at_one_limit_and_every_limit_has_a_lag() {
        for crop in catalogue().list("crop") {
            let lost = crop.parts.iter().filter(|limit| limit.flag("loses"));
            assert_eq!(lost.count(), 1, "{}", crop.name);
            for limit in &crop.parts {
                let both = limit.figure("temp").zip(limit.figure("lag"));
                assert!(both.is_some(), "{}: {}", crop.name, limit.name);
                let hardened = limit.name.ends_with(", hardened");
                assert!(!(hardened && limit.flag("loses")), "{}", limit.name);
            }
        }
    }

    #[test]
    fn every_entry_has_all_the_figures_of_its_list() {
        let lists: [(&str, &[(&str, &Range)]); 6] = [
            ("water", WATER),
            ("handbook", HANDBOOK),
            ("screen", SCREEN),
            ("fuel", FUEL),
            ("heater", HEATER),
            ("solid", SOLID),
        ];
        for (list, ranges) in lists {
            for entry in catalogue().list(list) {
                for (key, _) in ranges {
                    let is_for_the_user = entry.name == "electricity"
                        && ["carbon_dioxide", "methane", "nitrous_oxide"].contains(key);
                    assert!(
                        entry.figure(key).is_some() != is_for_the_user,
                        "{list} {}: {key}",
                        entry.name
                    );
                }
            }
        }
    }
}
