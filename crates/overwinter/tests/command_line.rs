//! The program run in process: messages, exit status, files left and files kept.

mod support;

use std::fs;
use std::io::{self, ErrorKind, Write};

use overwinter::{Exit, Screen};
use support::{Ended, overwinter, weather};

#[test]
fn help_and_version_are_answers() {
    let help = overwinter(&["--help"]);
    assert_eq!(help.exit, Exit::Done);
    for command in ["run", "check", "new", "climate", "cover", "inflate"] {
        assert!(help.out.contains(command), "{}", help.out);
    }
    assert_eq!(overwinter(&["--version"]).exit, Exit::Done);
    assert_eq!(help.err, "");
}

#[test]
fn a_mistake_on_the_command_line_is_bad_input() {
    for arguments in [
        &["run"][..],
        &["run", "a.toml"],
        &["run", "a.toml", "--out", "out", "--units", "metric"],
        &["run", "a.toml", "--out", "out", "--colour"],
        &["melt"],
        &[],
    ] {
        let ended = overwinter(arguments);
        assert_eq!(ended.exit, Exit::BadInput, "{arguments:?}");
        assert_eq!(ended.out, "");
        assert!(!ended.err.is_empty());
    }
    assert_eq!(Exit::BadInput.code(), 2);
}

#[test]
fn threads_are_a_whole_number_in_range() {
    for threads in ["0", "-1", "1025", "two"] {
        let option = format!("--threads={threads}");
        let ended = overwinter(&["run", "a.toml", "--out", "out", &option]);
        assert_eq!(ended.exit, Exit::BadInput);
        assert!(
            ended.err.contains("a whole number from 1 to 1024"),
            "{}",
            ended.err
        );
    }
}

#[test]
fn a_scenario_that_is_not_there_leaves_no_folder() {
    let temp = tempfile::tempdir().expect("a folder");
    let [file, out] = ["gone.toml", "out"].map(|name| temp.path().join(name));
    let [file_text, out_text] = [&file, &out].map(|path| path.display().to_string());
    let ended = overwinter(&["run", &file_text, "--out", &out_text]);
    assert_eq!(ended.exit, Exit::BadInput);
    assert!(ended.err.contains(&file_text), "{}", ended.err);
    assert!(!out.exists());
}

#[test]
fn climate_shows_the_figures_of_a_file() {
    let ended = overwinter(&[
        "climate",
        &weather("724666-golden-co-tmy3.csv"),
        "--units",
        "si",
    ]);
    assert_eq!((ended.exit, ended.err.as_str()), (Exit::Done, ""));
    // Counted apart from this program, in the table of weather/README.md.
    for figure in [
        "GOLDEN",
        "39.74 N, 105.18 W, 1,830 m (6,000 ft), UTC-7",
        "lowest -25.0 degC (-13.0 degF), mean 9.8 degC",
        "-17.0 degC (1.4 degF)",
        "-13.0 degC (8.6 degF)",
        "1,608 h below 0.0 degC",
        "3,420 K day (6,160 degF day) to base 18.3 degC",
        "1,620 kWh/m2 a year",
        "Defects found and what was done",
    ] {
        assert!(ended.out.contains(figure), "no {figure} in\n{}", ended.out);
    }
}

#[test]
fn every_shipped_climate_fits_the_screen() {
    let folder = fs::read_dir(weather("")).expect("the weather folder");
    let mut files: Vec<String> = folder
        .map(|entry| entry.expect("an entry").path().display().to_string())
        .filter(|file| {
            [".csv", ".json", ".epw"]
                .iter()
                .any(|kind| file.ends_with(kind))
        })
        .collect();
    files.sort();
    assert!(files.len() >= 6);
    for units in ["us", "si"] {
        let mut arguments = vec!["climate", "--units", units];
        arguments.extend(files.iter().map(String::as_str));
        let ended = overwinter(&arguments);
        assert_eq!(ended.exit, Exit::Done, "{}", ended.err);
        let width = |line: &str| line.chars().count();
        // A path is a word of its own and may be longer than a line.
        let too_wide = |line: &&str| width(line) > 100 && !line.contains('/');
        assert_eq!(ended.out.lines().find(too_wide), None);
    }
}

/// The Chicago file as if it were of one year, with one January night at another temperature.
fn real_year(folder: &std::path::Path, number: i32, night_degc: &str) -> String {
    let text = fs::read_to_string(weather("725300-chicago-ohare-il-tmy3.epw")).expect("shipped");
    let of_row = |(line, row): (usize, &str)| {
        let mut cells: Vec<String> = row.split(',').map(str::to_owned).collect();
        if line >= 8 {
            cells[0] = number.to_string();
        }
        // 16 January 04:00 to 05:00, air and dew point.
        if line == 8 + 15 * 24 + 4 {
            cells[6] = night_degc.to_owned();
            cells[7] = night_degc.to_owned();
        }
        cells.join(",")
    };
    let dated: Vec<String> = text.lines().enumerate().map(of_row).collect();
    let path = folder.join(format!("{number}.epw"));
    fs::write(&path, dated.join("\n")).expect("written");
    path.display().to_string()
}

#[test]
fn years_of_one_place_are_compared_and_the_worst_is_named() {
    let temp = tempfile::tempdir().expect("a folder");
    let mild = real_year(temp.path(), 1998, "-23.5");
    let cold = real_year(temp.path(), 2003, "-31.0");
    let typical = weather("725300-chicago-ohare-il-tmy3.epw");
    let elsewhere = weather("723170-greensboro-nc-tmy3.csv");
    let ended = overwinter(&[
        "climate", "--units", "si", &mild, &cold, &elsewhere, &typical,
    ]);
    assert_eq!(ended.exit, Exit::Done, "{}", ended.err);
    let from = ended
        .out
        .find("Years of one place: ")
        .expect("a comparison");
    let compared = &ended.out[from..];
    assert_eq!(ended.out.matches("Years of one place").count(), 1);
    for words in [
        "real year 1998",
        "typical year",
        "-31.0 degC",
        "-23.5 degC",
        "Jan",
    ] {
        assert!(compared.contains(words), "no {words} in\n{compared}");
    }
    assert!(!compared.contains("greensboro"), "{compared}");
    let coldest = compared
        .lines()
        .find(|line| line.starts_with("Coldest hour"));
    assert!(
        coldest.expect("a line").contains("real year 2003"),
        "{compared}"
    );
    let alone = overwinter(&["climate", &mild, &elsewhere]);
    assert!(!alone.out.contains("Years of one place"));
    assert!(alone.out.contains("real year 1998"), "{}", alone.out);
}

#[test]
fn a_bad_weather_file_does_not_hide_the_good_one() {
    let temp = tempfile::tempdir().expect("a folder");
    let bad = temp.path().join("bad.csv");
    fs::write(&bad, "colour,sound\nred,loud\n").expect("written");
    let bad = bad.display().to_string();
    let ended = overwinter(&["climate", &bad, &weather("723170-greensboro-nc-tmy3.csv")]);
    assert_eq!(ended.exit, Exit::BadInput);
    assert!(ended.out.contains("GREENSBORO"), "{}", ended.out);
    assert!(ended.err.contains("bad.csv"), "{}", ended.err);
}

#[test]
fn new_writes_a_file_once() {
    let temp = tempfile::tempdir().expect("a folder");
    let name = temp.path().join("hill-farm").display().to_string();
    let file = temp.path().join("hill-farm.toml");
    assert_eq!(overwinter(&["new", &name]).exit, Exit::Done);
    fs::write(&file, "mine").expect("written");
    let again = overwinter(&["new", &name]);
    assert_eq!(again.exit, Exit::BadInput);
    assert!(again.err.contains("exists already"), "{}", again.err);
    assert_eq!(fs::read_to_string(&file).expect("read"), "mine");
    let below_a_file = file.join("deeper").display().to_string();
    let ended = overwinter(&["new", &below_a_file]);
    assert_eq!(ended.exit, Exit::BadInput);
    assert!(ended.err.contains("cannot be written"), "{}", ended.err);
}

#[test]
fn new_names_a_weather_file_that_is_there() {
    let temp = tempfile::tempdir().expect("a folder");
    let station = "725300-chicago-ohare-il-tmy3.epw";
    fs::create_dir_all(temp.path().join("weather")).expect("a folder");
    fs::create_dir_all(temp.path().join("houses")).expect("a folder");
    fs::copy(weather(station), temp.path().join("weather").join(station)).expect("copied");
    for (name, written) in [
        ("top", format!("file = \"weather/{station}\"")),
        ("houses/below", format!("file = \"../weather/{station}\"")),
    ] {
        let file = temp
            .path()
            .join(format!("{name}.toml"))
            .display()
            .to_string();
        assert_eq!(overwinter(&["new", &file]).exit, Exit::Done);
        let text = fs::read_to_string(&file).expect("read");
        assert!(text.contains(&written), "{text}");
        let checked = overwinter(&["check", &file]);
        assert_eq!(checked.exit, Exit::Done, "{}", checked.err);
    }
}

/// Long axes are cut, draws are counted beside designs, inputs are listed with their quantiles.
#[test]
fn check_says_which_cases_a_sweep_has() {
    let temp = tempfile::tempdir().expect("a folder");
    let file = temp.path().join("sweep.toml").display().to_string();
    let station = weather("724666-golden-co-tmy3.csv");
    let text = format!(
        r#"
weather.file = "{station}"
cover.roof = "inflated pair"
house = {{ width = "10 m", length = "20 m" }}
hold.temp = "5 degC"
heater = [{{ fuel = "propane" }}]
outages.run = false
[[axis]]
name = "cover"
key = "cover.roof"
values = ["inflated pair", "single film"]
[[axis]]
name = "hold"
key = "hold.temp"
range = {{ from = "1 degC", to = "20 degC", step = "1 degC" }}
[[exclude]]
cover = "single film"
hold = "1? degC"
[sampling]
draws = 50
[[sampling.input]]
name = "leaks"
key = "leakage.air_change"
uniform = {{ low = "0.5 /h", high = "1.5 /h" }}
"#
    );
    fs::write(&file, text).expect("written");
    let checked = overwinter(&["check", &file]);
    assert_eq!(checked.exit, Exit::Done, "{}", checked.err);
    // 2 x 20 designs less ten of one film, with 50 draws; uniform quantiles by hand.
    for wanted in [
        "1,500: 30 combinations with 50 draws each",
        "Compared 30 designs (cover, hold), each against inflated pair / 1 degC",
        "1 degC; 2 degC; 3 degC; 4 degC; 5 degC; ...; 16 degC; 17 degC; 18 degC; 19 degC; 20 degC",
        "(20 in all)",
        "0.55 /h",
        "1.45 /h",
    ] {
        let words: Vec<_> = checked.out.split_whitespace().collect();
        assert!(
            words.join(" ").contains(wanted),
            "{wanted}: {}",
            checked.out
        );
    }
}

/// A reader that goes away, or a disk that is full.
struct Broken(ErrorKind);

impl Write for Broken {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(io::Error::from(self.0))
    }

    fn flush(&mut self) -> io::Result<()> {
        Err(io::Error::from(self.0))
    }
}

fn into_broken(kind: ErrorKind) -> Ended {
    let mut err = Vec::new();
    let file = weather("724666-golden-co-tmy3.csv");
    let arguments = ["overwinter", "climate", &file].map(Into::into);
    let mut screen = Screen {
        out: &mut Broken(kind),
        err: &mut err,
        err_is_terminal: false,
    };
    let exit = overwinter::run(arguments, &mut screen);
    Ended {
        exit,
        out: String::new(),
        err: String::from_utf8(err).expect("text"),
    }
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let ended = into_broken(ErrorKind::BrokenPipe);
    assert_eq!((ended.exit, ended.err.as_str()), (Exit::Done, ""));
}

#[test]
fn output_that_cannot_be_written_is_told() {
    let ended = into_broken(ErrorKind::StorageFull);
    assert_eq!(ended.exit, Exit::BadInput);
    assert!(
        ended.err.contains("the output cannot be written"),
        "{}",
        ended.err
    );
}
