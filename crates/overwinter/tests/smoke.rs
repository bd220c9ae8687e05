//! The program as a process: exit status and pipes.

use std::process::{Command, Output, Stdio};

fn program(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_overwinter"));
    command.args(arguments);
    command
}

fn output(arguments: &[&str]) -> Output {
    program(arguments).output().expect("the program starts")
}

fn weather_file() -> String {
    let name = "../../weather/723170-greensboro-nc-tmy3.csv";
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn what_was_asked_for_ends_with_zero() {
    let ended = output(&["climate", &weather_file()]);
    assert_eq!(ended.status.code(), Some(0));
    assert!(String::from_utf8_lossy(&ended.stdout).contains("GREENSBORO"));
    assert!(ended.stderr.is_empty());
}

#[test]
fn bad_input_ends_with_two() {
    assert_eq!(output(&["--nonsense"]).status.code(), Some(2));
    let ended = output(&["check", "there-is-no-such-file.toml"]);
    assert_eq!(ended.status.code(), Some(2));
    assert!(ended.stdout.is_empty());
    let told = String::from_utf8_lossy(&ended.stderr).into_owned();
    assert!(told.contains("there-is-no-such-file.toml"), "{told}");
}

#[test]
fn a_closed_pipe_ends_it_quietly() {
    let mut command = program(&["climate", &weather_file()]);
    let mut child = command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let ended = child.wait_with_output().expect("it ends");
    assert_eq!(ended.status.code(), Some(0));
    assert!(ended.stderr.is_empty(), "{:?}", ended.stderr);
}
