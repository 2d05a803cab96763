//! Files and the terminal: the only place that reads, writes or prints.

mod answer;
mod identity;
mod look;
mod read;
mod target;
mod temporary;

use std::io::{self, Write};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::Failure;

pub(crate) use answer::Answer;
pub(crate) use identity::Identity;
pub(crate) use look::Look;
pub(crate) use read::{beginning, read_bytes, read_text};
pub(crate) use target::{Format, Outputs, Target, is_pipe};
pub(crate) use temporary::{Temporary, end_with, folder_can_be};

/// Prints a line to standard error.
#[allow(clippy::print_stderr, reason = "this is the one place that speaks on standard error")]
pub(crate) fn say(line: &str) {
    eprintln!("{line}");
}

/// Whether the reader of standard output has gone away.
static UNREAD: AtomicBool = AtomicBool::new(false);

/// Whether the reader of standard output has gone away, as was found when something was written.
pub(crate) fn nobody_reads() -> bool {
    UNREAD.load(Ordering::SeqCst)
}

/// Writes to standard output. A reader that has gone away is no error.
pub(crate) fn print(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => {
            UNREAD.store(true, Ordering::SeqCst);
            Ok(())
        }
        Err(e) => Err(Failure(vec![format!("standard output: {e}; the text could not be written")])),
        Ok(()) => Ok(()),
    }
}

/// A path as it is told to the user.
pub(crate) fn name_of(path: &Path) -> String {
    path.display().to_string()
}
