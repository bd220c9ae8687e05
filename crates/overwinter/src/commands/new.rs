//! `new`: a commented scenario file to start from.

use std::fs::{self, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Component, Path, PathBuf};

use overwinter_study::scenario::{STARTER_WEATHER, starter_text, starter_text_with};

use crate::arguments::NewArguments;
use crate::exit::{Exit, Stop};
use crate::program::Screen;

pub(crate) fn new(arguments: &NewArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let path = with_extension(&arguments.name);
    let title = path.file_stem().unwrap_or_default().to_string_lossy();
    let text = match weather_path(path.parent().unwrap_or(Path::new(""))) {
        Some(weather) => starter_text_with(&title, &weather),
        None => starter_text(&title),
    };
    write(&path, &text)?;
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

/// Where the weather file of the starter is, as a path from `folder`; `None` if it is not found
/// beside that folder or from here.
fn weather_path(folder: &Path) -> Option<String> {
    let places = ["weather", "../weather"];
    let beside = places
        .map(|place| format!("{place}/{STARTER_WEATHER}"))
        .into_iter()
        .find(|file| folder.join(file).is_file());
    beside.or_else(|| {
        let here = places.map(|place| Path::new(place).join(STARTER_WEATHER));
        let file = here.iter().find(|file| file.is_file())?;
        let folder = if folder.as_os_str().is_empty() {
            Path::new(".")
        } else {
            folder
        };
        path_between(
            &fs::canonicalize(folder).ok()?,
            &fs::canonicalize(file).ok()?,
        )
    })
}

/// The way from a folder to a file, both whole paths, with `/` between its parts.
fn path_between(folder: &Path, file: &Path) -> Option<String> {
    let [from, to]: [Vec<Component>; 2] = [folder, file].map(|path| path.components().collect());
    let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    if shared == 0 {
        return None;
    }
    let up = std::iter::repeat_n("..", from.len() - shared).map(Some);
    let down = to[shared..].iter().map(|part| part.as_os_str().to_str());
    let parts: Option<Vec<&str>> = up.chain(down).collect();
    Some(parts?.join("/"))
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
    fn a_path_leads_from_the_folder_to_the_file() {
        let way = |folder: &str, file: &str| path_between(Path::new(folder), Path::new(file));
        let weather = "/grower/weather/a.epw";
        assert_eq!(way("/grower", weather).as_deref(), Some("weather/a.epw"));
        let deep = way("/grower/my/houses", weather);
        assert_eq!(deep.as_deref(), Some("../../weather/a.epw"));
        assert_eq!(
            way("/else", weather).as_deref(),
            Some("../grower/weather/a.epw")
        );
    }

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
