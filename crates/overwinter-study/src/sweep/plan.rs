//! What a run is: enough to tell whether parts on disk belong to it, and to join them without the
//! scenario.

use std::num::NonZeroUsize;
use std::ops::Range;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::blocks::{self, Shard};
use crate::case::Study;
use crate::climate::hex;
use crate::features::YearEvents;
use crate::manifest::Manifest;
use crate::output::OutputError;
use crate::ranking::RankingPlan;
use crate::summary::output_by_default;
use crate::tables::Wanted;

/// What a run is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// SHA-256 of the sources of the program: another state of them may give other results.
    sources_sha256: String,
    /// Cases in a part.
    cases_a_part: NonZeroUsize,
    /// Which tables there are.
    wanted: Wanted,
    /// Which cases are designs to be compared.
    pub(super) ranking: RankingPlan,
    /// What the screen says beside the numbers.
    pub remarks: Remarks,
    /// The manifest, without its tables: program, scenario and weather with their digests, seed, axes.
    pub(super) manifest: Manifest,
}

/// What the screen says beside the numbers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Remarks {
    /// True if the output of the heaters is left to a default.
    pub output_by_default: bool,
    /// True if how wet the inner film is decides on an infrared film or between covers.
    pub wet_film_decides: bool,
    /// What fails in the year itself, if anything does.
    pub events: Option<YearEvents>,
    /// True if house air is blown between films.
    pub house_air_in_gaps: bool,
}

impl Plan {
    /// The plan of a study.
    pub fn of(study: &Study) -> Self {
        let features = study.cases.features();
        let wanted = Wanted::of(study);
        let cases = study.cases.len();
        let cases_a_part = blocks::cases_a_block(cases, wanted.failures || wanted.hourly);
        Self {
            sources_sha256: env!("SOURCES_SHA256").to_owned(),
            cases_a_part: NonZeroUsize::new(cases_a_part).unwrap_or(NonZeroUsize::MIN),
            wanted,
            ranking: study.ranking.clone(),
            remarks: Remarks {
                output_by_default: output_by_default(study),
                wet_film_decides: features.wet_film_decides(),
                events: features.events,
                house_air_in_gaps: features.house_air_in_gaps,
            },
            manifest: Manifest::new(study),
        }
    }

    /// Title of the scenario.
    pub fn title(&self) -> &str {
        &self.manifest.title
    }

    /// Names of the axes.
    pub fn axis_names(&self) -> &[String] {
        &self.manifest.axes
    }

    /// How many inputs the scenario left to defaults.
    pub fn defaults(&self) -> usize {
        self.manifest.defaults_used.len()
    }

    /// Cases in all.
    pub fn cases(&self) -> usize {
        self.manifest.cases
    }

    /// Which tables there are.
    pub fn wanted(&self) -> &Wanted {
        &self.wanted
    }

    /// Number of parts in all.
    pub fn parts(&self) -> usize {
        self.cases().div_ceil(self.cases_a_part.get())
    }

    /// The cases of each part of a share, counted from 0.
    pub(super) fn blocks(&self, shard: Shard) -> impl Iterator<Item = Range<usize>> {
        blocks::blocks(self.cases(), self.cases_a_part.get(), shard)
    }

    /// SHA-256 of all of it, which every part carries.
    pub(super) fn sha256(&self) -> Result<String, OutputError> {
        let text = serde_json::to_vec(self).map_err(|source| OutputError::Manifest { source })?;
        Ok(hex(&Sha256::digest(&text)))
    }
}
