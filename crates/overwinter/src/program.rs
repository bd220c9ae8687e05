//! From the command line to an exit status.

use std::ffi::OsString;
use std::io::{self, ErrorKind, Write};

use clap::Parser;

use crate::arguments::{Arguments, Command};
use crate::commands;
use crate::exit::{Exit, Stop};
use crate::screen::layout::shown;

/// Where the program writes.
pub struct Screen<'a> {
    /// Results.
    pub out: &'a mut dyn Write,
    /// Messages.
    pub err: &'a mut dyn Write,
    /// True if messages go to a terminal, where a progress bar makes sense.
    pub err_is_terminal: bool,
}

/// Runs the program with its arguments, the first of which is its own name.
pub fn run(arguments: impl IntoIterator<Item = OsString>, screen: &mut Screen) -> Exit {
    let ended = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => obey(&arguments.command, screen),
        Err(usage) => show_usage(&usage, screen).map_err(Stop::from),
    };
    match ended {
        Ok(exit) => exit,
        Err(Stop::Told(text)) => complain(&text, screen),
        // The reader of the output went away, as `head` does; there is nobody left to tell.
        Err(Stop::Screen(error)) if error.kind() == ErrorKind::BrokenPipe => Exit::Done,
        Err(Stop::Screen(error)) => {
            complain(&format!("the output cannot be written: {error}"), screen)
        }
    }
}

fn obey(command: &Command, screen: &mut Screen) -> Result<Exit, Stop> {
    let exit = match command {
        Command::Run(arguments) => commands::run::run(arguments, screen),
        Command::Gather(arguments) => commands::gather::gather(arguments, screen),
        Command::Check(arguments) => commands::check::check(arguments, screen),
        Command::New(arguments) => commands::new::new(arguments, screen),
        Command::Climate(arguments) => commands::climate::climate(arguments, screen),
        Command::Cover(arguments) => commands::cover::cover(arguments, screen),
        Command::Night(arguments) => commands::night::night(arguments, screen),
        Command::Inflate(arguments) => commands::inflate::inflate(arguments, screen),
        Command::Report(arguments) => commands::report::report(arguments, screen),
    }?;
    screen.out.flush()?;
    Ok(exit)
}

/// Help and version are what was asked for; the rest is a mistake on the command line.
fn show_usage(usage: &clap::Error, screen: &mut Screen) -> io::Result<Exit> {
    let text = usage.render().to_string();
    if usage.use_stderr() {
        screen.err.write_all(text.as_bytes())?;
        Ok(Exit::BadInput)
    } else {
        screen.out.write_all(text.as_bytes())?;
        Ok(Exit::Done)
    }
}

fn complain(text: &str, screen: &mut Screen) -> Exit {
    let text: Vec<String> = text.lines().map(shown).collect();
    let text = text.join("\n");
    // If messages cannot be written either, the exit status still tells.
    let _ = writeln!(screen.err, "overwinter: {text}");
    Exit::BadInput
}
