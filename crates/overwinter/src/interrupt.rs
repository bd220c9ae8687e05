//! Ctrl-C: the first ends a run at the next case, the second at once.

use std::sync::atomic::{AtomicBool, Ordering};

use crate::exit::Exit;

static ASKED_TO_STOP: AtomicBool = AtomicBool::new(false);

/// What is set when the user asks to stop. From the first call on, Ctrl-C no longer ends the program by
/// itself.
pub(crate) fn asked_to_stop() -> &'static AtomicBool {
    // Refused if it is set already, which is as well, or by a system without signals, where Ctrl-C does
    // what it always does.
    let _ = ctrlc::set_handler(|| {
        if ASKED_TO_STOP.swap(true, Ordering::SeqCst) {
            std::process::exit(i32::from(Exit::Stopped.code()));
        }
    });
    &ASKED_TO_STOP
}
