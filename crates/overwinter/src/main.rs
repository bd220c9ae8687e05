//! The program.

use std::io::IsTerminal;
use std::process::ExitCode;

fn main() -> ExitCode {
    let (mut out, mut err) = (std::io::stdout().lock(), std::io::stderr());
    let err_is_terminal = err.is_terminal();
    let mut screen = overwinter::Screen {
        out: &mut out,
        err: &mut err,
        err_is_terminal,
    };
    ExitCode::from(overwinter::run(std::env::args_os(), &mut screen).code())
}
