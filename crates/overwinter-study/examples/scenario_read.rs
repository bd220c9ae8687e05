//! How long a case of a scenario takes to read: `cargo run --release -p overwinter-study --example
//! scenario_read [CASES]`.
#![allow(clippy::print_stdout, reason = "a measurement shows its figure")]

use std::path::Path;
use std::time::Instant;

use overwinter_study::scenario::check;

/// A shipped scenario, to which axes of length and hold temperature are added.
const SCENARIO: &str = "first-winter.toml";

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let wanted = std::env::args()
        .nth(1)
        .map_or(Ok(3000), |cases| cases.parse())?;
    let holds = 50.min(wanted).max(1);
    let lengths = (wanted / holds).max(1);
    let list = |count: usize, value: &dyn Fn(usize) -> String| {
        let values: Vec<String> = (0..count).map(|at| format!("\"{}\"", value(at))).collect();
        values.join(", ")
    };
    let axes = format!(
        "\n[[axis]]\nname = \"length\"\nkey = \"house.length\"\nvalues = [{}]\n\
         \n[[axis]]\nname = \"hold\"\nkey = \"hold.temp\"\nvalues = [{}]\n",
        list(lengths, &|at| format!("{} ft", 50 + at)),
        list(holds, &|at| format!("{:.1} degF", 35.0 + 0.5 * at as f64)),
    );
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let text = std::fs::read_to_string(root.join("scenarios").join(SCENARIO))?;
    let weather = format!("file = \"{}/", root.join("weather").display());
    let text = text.replace("file = \"../weather/", &weather);
    let folder = tempfile::tempdir()?;
    let path = folder.path().join(SCENARIO);
    std::fs::write(&path, text + &axes)?;
    let started = Instant::now();
    let cases = check(&path)?.study.cases.len();
    let took = started.elapsed();
    let each_ms = took.as_secs_f64() * 1e3 / cases as f64;
    println!("{cases} cases in {took:.2?}: {each_ms:.3} ms each");
    Ok(())
}
