//! The manifest of a run, as far as a report tells of it.
//!
//! What an older or a shorter manifest leaves out is empty; what it holds beyond this is left alone.

use serde::{Deserialize, Deserializer};

use crate::plain_text::plain;

/// What a run was made from and what it holds.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Manifest {
    #[serde(deserialize_with = "text")]
    pub(crate) program: String,
    #[serde(deserialize_with = "text")]
    pub(crate) version: String,
    #[serde(deserialize_with = "text")]
    pub(crate) title: String,
    pub(crate) scenario: SourceFile,
    pub(crate) weather: Vec<WeatherFile>,
    pub(crate) seed: u64,
    pub(crate) sampled: Vec<SampledInput>,
    pub(crate) draws: u64,
    pub(crate) cases: u64,
    pub(crate) tables: Vec<TableEntry>,
    /// Inputs that the scenario states, where the manifest lists them.
    pub(crate) inputs_given: Vec<Input>,
    pub(crate) defaults_used: Vec<Input>,
    /// Residual above which a case fails, where the manifest tells it.
    pub(crate) allowed_residual_share: Option<f64>,
    #[serde(deserialize_with = "texts")]
    pub(crate) cautions: Vec<String>,
}

/// A file that was read.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct SourceFile {
    #[serde(deserialize_with = "text")]
    pub(crate) path: String,
    #[serde(deserialize_with = "text")]
    pub(crate) sha256: String,
}

/// A weather file that was read.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct WeatherFile {
    #[serde(flatten)]
    pub(crate) file: SourceFile,
    #[serde(deserialize_with = "text")]
    pub(crate) place: String,
    #[serde(deserialize_with = "text")]
    pub(crate) region: String,
    pub(crate) latitude_deg: f64,
    pub(crate) longitude_deg: f64,
    pub(crate) elevation_m: f64,
    #[serde(deserialize_with = "text")]
    pub(crate) format: String,
    #[serde(deserialize_with = "text")]
    pub(crate) year: String,
    pub(crate) stress: Vec<Stress>,
    #[serde(deserialize_with = "optional_text")]
    pub(crate) credit: Option<String>,
    pub(crate) defects: Vec<Defect>,
}

/// What was asked of a weather file beyond its year.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Stress {
    #[serde(deserialize_with = "text")]
    pub(crate) key: String,
    #[serde(deserialize_with = "text")]
    pub(crate) transform: String,
    #[serde(deserialize_with = "text")]
    pub(crate) least: String,
    #[serde(deserialize_with = "text")]
    pub(crate) greatest: String,
}

/// A defect of a weather file and what was done about it.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Defect {
    #[serde(deserialize_with = "text")]
    pub(crate) defect: String,
    pub(crate) count: u64,
    #[serde(deserialize_with = "text")]
    pub(crate) action: String,
}

/// An input drawn at random.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct SampledInput {
    #[serde(deserialize_with = "text")]
    pub(crate) name: String,
    #[serde(deserialize_with = "texts")]
    pub(crate) keys: Vec<String>,
    /// The values that 5, 50 and 95 % of draws lie below.
    #[serde(deserialize_with = "texts")]
    pub(crate) quantiles: Vec<String>,
}

/// A table and its columns.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct TableEntry {
    #[serde(deserialize_with = "text")]
    pub(crate) name: String,
    pub(crate) columns: Vec<ColumnEntry>,
}

/// A column of a table.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct ColumnEntry {
    #[serde(deserialize_with = "text")]
    pub(crate) name: String,
    #[serde(deserialize_with = "text")]
    pub(crate) unit: String,
    #[serde(deserialize_with = "text")]
    pub(crate) meaning: String,
}

/// An input with its value and where that comes from.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Input {
    #[serde(deserialize_with = "text")]
    pub(crate) key: String,
    #[serde(deserialize_with = "text")]
    pub(crate) value: String,
    #[serde(deserialize_with = "text")]
    pub(crate) source: String,
}

impl Input {
    /// True if the source says that nobody measured or published the value.
    pub(crate) fn is_assumed(&self) -> bool {
        ["estimate", "from memory", "no source", "assum"]
            .iter()
            .any(|word| self.source.contains(word))
    }
}

impl Manifest {
    /// The entry of a table.
    pub(crate) fn table(&self, name: &str) -> Option<&TableEntry> {
        self.tables.iter().find(|table| table.name == name)
    }

    /// Inputs left to a default whose source is an estimate.
    pub(crate) fn assumed(&self) -> usize {
        let assumed = self.defaults_used.iter().filter(|input| input.is_assumed());
        assumed.count()
    }
}

fn text<'de, D: Deserializer<'de>>(reader: D) -> Result<String, D::Error> {
    let text = String::deserialize(reader)?;
    Ok(plain(&text).into_owned())
}

fn texts<'de, D: Deserializer<'de>>(reader: D) -> Result<Vec<String>, D::Error> {
    let texts = Vec::<String>::deserialize(reader)?;
    Ok(texts.iter().map(|text| plain(text).into_owned()).collect())
}

fn optional_text<'de, D: Deserializer<'de>>(reader: D) -> Result<Option<String>, D::Error> {
    let text = Option::<String>::deserialize(reader)?;
    Ok(text.map(|text| plain(&text).into_owned()))
}
