//! Writes the report of an output folder to standard output: `page DIR [si] > report.html`.

use std::io::Write;
use std::path::Path;

use overwinter_report::{Options, page, read};
use overwinter_units::System;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().ok_or("which folder? page DIR [si]")?;
    let system = match arguments.next().as_deref() {
        Some("si") => System::Si,
        _ => System::Us,
    };
    let run = read(Path::new(&folder))?;
    let options = Options {
        system,
        date: "1 December 2026".to_owned(),
    };
    std::io::stdout().write_all(page(&run, &options).as_bytes())?;
    Ok(())
}
