//! `new`: a commented scenario file to start from.

use std::fs::{self, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use overwinter_study::scenario::starter_text;

use crate::arguments::NewArguments;
use crate::exit::{Exit, Stop};
use crate::program::Screen;

pub(crate) fn new(arguments: &NewArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let path = with_extension(&arguments.name);
    let title = path.file_stem().unwrap_or_default().to_string_lossy();
    write(&path, &starter_text(&title))?;
    let shown = path.display();
    writeln!(
        screen.out,
        "Wrote {shown}. Put your weather file, size, cover and fuel in it, then:"
    )?;
    writeln!(screen.out, "  overwinter check {shown}")?;
    writeln!(screen.out, "  overwinter run {shown} --out out")?;
    Ok(Exit::Done)
}

/// The name with `.toml` behind it; dots in the name stay.
fn with_extension(name: &Path) -> PathBuf {
    if name
        .extension()
        .is_some_and(|extension| extension == "toml")
    {
        return name.to_owned();
    }
    let mut path = name.as_os_str().to_owned();
    path.push(".toml");
    path.into()
}

/// Never replaces a file: the system itself refuses to make one that is there.
fn write(path: &Path, text: &str) -> Result<(), Stop> {
    let created = OpenOptions::new().write(true).create_new(true).open(path);
    let mut file = created.map_err(|error| refused(path, &error))?;
    file.write_all(text.as_bytes()).map_err(|error| {
        // Half a file is worse than none; it is ours, made a moment ago.
        let _ = fs::remove_file(path);
        refused(path, &error)
    })
}

fn refused(path: &Path, error: &io::Error) -> Stop {
    let shown = path.display();
    Stop::Told(match error.kind() {
        ErrorKind::AlreadyExists => {
            format!("{shown} exists already\n  Give another name; nothing was replaced.")
        }
        _ => format!(
            "{shown} cannot be written: {error}\n  Give a name in a folder where you may write."
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_extension_is_added_once() {
        assert_eq!(with_extension(Path::new("a")), PathBuf::from("a.toml"));
        assert_eq!(with_extension(Path::new("a.toml")), PathBuf::from("a.toml"));
        assert_eq!(
            with_extension(Path::new("house 1.5")),
            PathBuf::from("house 1.5.toml")
        );
    }
}
