//! Weather files of a study: found, read once each, and the few facts a house needs from them.

use std::f64::consts::TAU;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use overwinter_weather::{Stress, WeatherError, read_bytes};
use sha2::{Digest, Sha256};

use crate::case::Climate;
use crate::recent::Recent;

/// What the description of a house takes from its climate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ClimateFacts {
    /// Mean air temperature of the year.
    pub(crate) mean_air_k: f64,
    /// Half the yearly swing of the air temperature (first harmonic).
    pub(crate) swing_k: f64,
    /// Day of the lowest point of that harmonic, 0 = 1 January.
    pub(crate) coldest_day: f64,
    /// Coldest air temperature of the year.
    pub(crate) coldest_air_k: f64,
}

/// Lowest air temperature of each night of a year, K: from noon to noon, the night after 1 January
/// first, those that the turn of the year cuts left out.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NightLows(pub(crate) Vec<f64>);

impl NightLows {
    /// Those of hourly air temperatures.
    fn of(air_temp_k: &[f64]) -> Self {
        let from_noon = air_temp_k.get(12..).unwrap_or_default();
        // A night has 25 hour marks, of which it shares the last one with the next night.
        let nights = from_noon.windows(25).step_by(24);
        let low = |marks: &[f64]| marks.iter().copied().fold(f64::INFINITY, f64::min);
        Self(nights.map(low).collect())
    }
}

/// Everything that is taken from the air temperatures of a year before it is run.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct AirFacts {
    /// What the description of a house takes.
    pub(crate) climate: ClimateFacts,
    /// The nights.
    pub(crate) nights: NightLows,
}

impl AirFacts {
    fn of(air_temp_k: &[f64]) -> Self {
        Self {
            climate: ClimateFacts::of(air_temp_k),
            nights: NightLows::of(air_temp_k),
        }
    }
}

/// Facts that let the rest of a scenario be checked when its weather cannot be read.
pub(crate) const UNKNOWN_CLIMATE: ClimateFacts = ClimateFacts {
    mean_air_k: 283.15,
    swing_k: 10.0,
    coldest_day: 20.0,
    coldest_air_k: 253.15,
};

const DAYS_A_YEAR: f64 = 365.0;

impl ClimateFacts {
    /// Facts of hourly air temperatures: mean, lowest value, and the first harmonic by Fourier sums.
    fn of(air_temp_k: &[f64]) -> Self {
        let hours = &air_temp_k[..air_temp_k.len().saturating_sub(1)];
        let count = hours.len().max(1) as f64;
        let mean_air_k = hours.iter().sum::<f64>() / count;
        let (mut cosine, mut sine) = (0.0, 0.0);
        for (hour, temp_k) in (0_u32..).zip(hours) {
            let angle = TAU * f64::from(hour) / count;
            cosine += 2.0 / count * temp_k * angle.cos();
            sine += 2.0 / count * temp_k * angle.sin();
        }
        Self {
            mean_air_k,
            swing_k: cosine.hypot(sine),
            coldest_day: (-sine).atan2(-cosine).rem_euclid(TAU) / TAU * DAYS_A_YEAR,
            coldest_air_k: hours.iter().copied().fold(f64::INFINITY, f64::min),
        }
    }
}

/// Weather files by the path a scenario writes, each read once.
#[derive(Debug)]
pub(crate) struct Shelf {
    beside: PathBuf,
    tried: Vec<(String, Result<usize, String>)>,
    climates: Vec<Climate>,
    facts: Recent<(usize, Stress), Arc<AirFacts>>,
}

/// Facts of years, with and without stress, that are kept: cases that follow each other share them.
const FACTS_KEPT: usize = 64;

impl Shelf {
    /// A shelf for a scenario file; weather paths are looked up beside it first.
    pub(crate) fn beside(scenario: &Path) -> Self {
        Self {
            beside: scenario.parent().unwrap_or(Path::new("")).to_owned(),
            tried: Vec::new(),
            climates: Vec::new(),
            facts: Recent::new(FACTS_KEPT),
        }
    }

    /// Index of the climate written as `written`, or why it cannot be used.
    pub(crate) fn climate(&mut self, written: &str) -> Result<usize, String> {
        if let Some((_, found)) = self.tried.iter().find(|(path, _)| path == written) {
            return found.clone();
        }
        let found = self.read(written);
        self.tried.push((written.to_owned(), found.clone()));
        found
    }

    /// Facts of the year of a climate under a stress.
    ///
    /// # Errors
    /// As [`Stress::apply`].
    pub(crate) fn facts(
        &mut self,
        climate: usize,
        stress: &Stress,
    ) -> Result<Arc<AirFacts>, WeatherError> {
        if let Some(facts) = self.facts.get(&(climate, *stress)) {
            return Ok(facts);
        }
        let air_temp_k = stress.air_temp_k(&self.climates[climate].year)?;
        let facts = Arc::new(AirFacts::of(&air_temp_k));
        self.facts.put((climate, *stress), Arc::clone(&facts));
        Ok(facts)
    }

    /// Numbers the climates anew, in the order in which they appear in `used`; the old numbers in the new
    /// order.
    pub(crate) fn put_in_order(&mut self, used: &[usize]) -> Vec<usize> {
        let mut order: Vec<usize> = Vec::new();
        for &climate in used
            .iter()
            .chain(&(0..self.climates.len()).collect::<Vec<_>>())
        {
            if !order.contains(&climate) {
                order.push(climate);
            }
        }
        self.climates = order.iter().map(|&at| self.climates[at].clone()).collect();
        self.facts = Recent::new(FACTS_KEPT);
        for found in self
            .tried
            .iter_mut()
            .filter_map(|(_, found)| found.as_mut().ok())
        {
            *found = order.iter().position(|at| at == found).unwrap_or(*found);
        }
        order
    }

    /// The climates read so far.
    pub(crate) fn climates(&self) -> Vec<Climate> {
        self.climates.clone()
    }

    fn read(&mut self, written: &str) -> Result<usize, String> {
        let tried = [self.beside.join(written), PathBuf::from(written)];
        let path = tried
            .iter()
            .find(|path| path.is_file())
            .ok_or_else(|| not_found(&tried))?;
        let bytes = std::fs::read(path)
            .map_err(|error| format!("{} cannot be read: {error}", path.display()))?;
        let sha256 = hex(&Sha256::digest(&bytes));
        if let Some(same) = self
            .climates
            .iter()
            .position(|climate| climate.sha256 == sha256)
        {
            return Ok(same);
        }
        let year =
            read_bytes(&bytes, &path.display().to_string()).map_err(|error| error.to_string())?;
        let climate = Climate::new(path.clone(), written.to_owned(), sha256, year);
        self.climates.push(climate);
        Ok(self.climates.len() - 1)
    }
}

/// Endings of weather files that are offered in place of one that is not there.
const WEATHER_ENDINGS: [&str; 5] = ["epw", "csv", "json", "tm2", "dat"];
/// Most files that are offered.
const MOST_OFFERED: usize = 5;

/// Why none of the paths tried is a file, and which files are where one was looked for.
fn not_found(tried: &[PathBuf; 2]) -> String {
    let [beside, here] = tried;
    let folder = tried.iter().find(|path| path.is_dir());
    let message = match folder {
        Some(folder) => format!("{} is a folder, not a weather file", folder.display()),
        None if beside == here => format!("no such weather file; tried {}", here.display()),
        None => format!(
            "no such weather file; tried {} and {}",
            beside.display(),
            here.display()
        ),
    };
    let parents = tried.iter().filter_map(|path| path.parent());
    let mut searched = folder.map(PathBuf::as_path).into_iter().chain(parents);
    searched
        .find_map(offer)
        .map_or(message.clone(), |offer| message + &offer)
}

/// True of a file with the ending of a weather file.
pub(crate) fn is_weather(path: &Path) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str());
    ending.is_some_and(|ending| WEATHER_ENDINGS.contains(&ending.to_lowercase().as_str()))
        && path.is_file()
}

/// The weather files of a folder in words, if it has any.
pub(crate) fn offer(folder: &Path) -> Option<String> {
    let readable = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let entries = std::fs::read_dir(readable).ok()?;
    let files = entries.filter_map(|entry| Some(entry.ok()?.path()));
    let mut names: Vec<String> = files
        .filter(|path| is_weather(path))
        .filter_map(|path| Some(path.file_name()?.to_string_lossy().into_owned()))
        .collect();
    names.sort();
    let more = match names.len().checked_sub(MOST_OFFERED) {
        Some(more) if more > 0 => format!(" and {more} more"),
        _ => String::new(),
    };
    names.truncate(MOST_OFFERED);
    let listed = names.join(", ");
    (!names.is_empty()).then(|| format!("; in {} are {listed}{more}", readable.display()))
}

/// Lower-case hexadecimal digits of some bytes.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A year whose temperature is one cosine has that mean, swing and coldest day.
    #[test]
    fn facts_of_a_cosine_year_are_its_own() {
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../weather/725300-chicago-ohare-il-tmy3.epw"
        );
        let mut shelf = Shelf::beside(Path::new("scenario.toml"));
        let index = shelf.climate(path).expect("a shipped file");
        let mut year = (*shelf.climates()[index].year).clone();
        for (hour, temp_k) in (0_u32..).zip(&mut year.air_temp_k) {
            let day = f64::from(hour) / 24.0;
            *temp_k = 281.0 - 13.0 * (TAU * (day - 25.0) / DAYS_A_YEAR).cos();
        }
        let facts = ClimateFacts::of(&year.air_temp_k);
        assert!((facts.mean_air_k - 281.0).abs() < 1e-9);
        assert!((facts.swing_k - 13.0).abs() < 1e-9);
        assert!((facts.coldest_day - 25.0).abs() < 1e-9);
        assert!((facts.coldest_air_k - 268.0).abs() < 1e-9);
    }

    /// 364 nights from noon to noon; a cold hour belongs to the night around it.
    #[test]
    fn nights_run_from_noon_to_noon() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../weather/");
        let mut shelf = Shelf::beside(Path::new(folder).join("scenario.toml").as_path());
        let index = shelf
            .climate("725300-chicago-ohare-il-tmy3.epw")
            .expect("a shipped file");
        let facts = shelf.facts(index, &Stress::NONE).expect("read");
        assert_eq!(facts.nights.0.len(), 364);
        let mut year = (*shelf.climates()[index].year).clone();
        year.air_temp_k.fill(280.0);
        // 3 January 11:00 is the morning of the second night, 13:00 the evening of the third.
        year.air_temp_k[2 * 24 + 11] = 260.0;
        year.air_temp_k[2 * 24 + 13] = 270.0;
        let lows = NightLows::of(&year.air_temp_k).0;
        assert!((lows[1] - 260.0).abs() < 1e-12 && (lows[2] - 270.0).abs() < 1e-12);
        assert!(lows.iter().filter(|low| **low < 280.0).count() == 2);
    }

    #[test]
    fn a_file_is_read_once_under_any_path() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../weather/");
        let mut shelf = Shelf::beside(Path::new(folder).join("scenario.toml").as_path());
        let name = "725300-chicago-ohare-il-tmy3.epw";
        let first = shelf.climate(name);
        assert_eq!(first, Ok(0));
        assert_eq!(shelf.climate(&format!("{folder}{name}")), first);
        assert_eq!(shelf.climates().len(), 1);
        let missing = shelf.climate("nowhere.epw").expect_err("no such file");
        assert!(
            missing.contains("nowhere.epw") && missing.contains("tried"),
            "{missing}"
        );
    }

    #[test]
    fn a_file_that_is_not_there_is_answered_with_those_that_are() {
        let folder = tempfile::tempdir().expect("a folder");
        for number in 1..=7 {
            let name = format!("station {number}.epw");
            std::fs::write(folder.path().join(name), "").expect("written");
        }
        std::fs::write(folder.path().join("notes.txt"), "").expect("written");
        let mut shelf = Shelf::beside(&folder.path().join("house.toml"));
        let missing = shelf.climate("station 9.epw").expect_err("no such file");
        let [from, to] = ["station 1.epw", "station 5.epw and 2 more"];
        assert!(missing.contains(from) && missing.ends_with(to), "{missing}");
        assert!(!missing.contains("notes"), "{missing}");
        let whole = folder.path().join("gone.epw").display().to_string();
        let once = shelf.climate(&whole).expect_err("no such file");
        assert_eq!(once.matches(&whole).count(), 1, "{once}");
        let folder = shelf.climate(".").expect_err("a folder");
        assert!(
            folder.contains("is a folder, not a weather file"),
            "{folder}"
        );
    }
}
